using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>What a clock is meant to be for the others.</summary>
public enum ClockRole
{
    /// <summary>One among others.</summary>
    None,

    /// <summary>The one that its side of the rig is to run on.</summary>
    Timekeeper,

    /// <summary>The one that takes over from it.</summary>
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
