using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>The role of a clock in the plan.</summary>
public enum ClockRole
{
    /// <summary>No special role.</summary>
    None,

    /// <summary>The clock that its part of the rig is meant to run on.</summary>
    Timekeeper,

    /// <summary>A clock that takes over from the timekeeper.</summary>
    Standby,
}

/// <summary>The roles that a plan's <c>timekeeper</c> statements give.</summary>
public static class ClockRoles
{
    /// <summary>The role of a clock in some acts.</summary>
    public static ClockRole RoleOf(this Rig rig, Clock clock, ActSet acts)
    {
        var role = ClockRole.None;
        foreach (var keeping in rig.Timekeepers)
        {
            if (!keeping.Acts.Meets(acts)) continue;
            if (keeping.Clock == clock) return ClockRole.Timekeeper;
            if (keeping.Standbys.Contains(clock)) role = ClockRole.Standby;
        }
        return role;
    }
}
