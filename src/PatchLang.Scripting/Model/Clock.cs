using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>A clock: of a unit, or of a card in one.</summary>
public sealed class Clock : IPlaced
{
    private readonly Graph.Clock made;
    private readonly Lazy<ImmutableArray<ClockTime>> times;

    internal Clock(Rig rig, Graph.Clock made)
    {
        (Rig, this.made) = (rig, made);
        times = new(() => [.. rig.Plan.Clocks.Views.Select(v => new ClockTime(rig, v[made], v.Acts))]);
    }

    /// <summary>The plan it is in.</summary>
    public Rig Rig { get; }

    /// <summary>Its name in the plan: its unit's, with the clock's own if the unit has several.</summary>
    public string Name => made.Name;

    /// <summary>The unit or card it is in.</summary>
    public Unit Unit => Rig.UnitOf(made.Device);

    /// <summary>The sample rate it provides.</summary>
    public Hertz Rate => Unit.Rate;

    /// <summary>The most it is off when it runs free, in ppm; null if not stated.</summary>
    public double? AccuracyPpm => made.Model.AccuracyPpm;

    /// <summary>What it follows, for each set of acts with the same clocking.</summary>
    public IReadOnlyList<ClockTime> Times => times.Value;

    /// <summary>The clock it follows; null if it runs free or follows none. If that changes through the day, the first one.</summary>
    public Clock? Follows => Times is [var first, ..] ? first.Follows : null;

    /// <summary>The free-running clock at the end of the chain; null if there is none. If that changes through the day, the first one.</summary>
    public Clock? Root => Times is [var first, ..] ? first.Root : null;

    /// <summary>Whether it runs free all day.</summary>
    public bool IsFree => Times.All(t => t.IsFree);

    /// <summary>Whether it is a timekeeper at some time of the day.</summary>
    public bool IsTimekeeper => HasRole(ClockRole.Timekeeper);

    /// <summary>Whether it is a standby at some time of the day.</summary>
    public bool IsStandby => HasRole(ClockRole.Standby);

    /// <summary>The statement that tells it what to follow; if there is none, the declaration of its unit.</summary>
    public Place Place => new(Rig.Plan.PlaceOf(Rig.Plan.Clocks.Views[0][made]));

    /// <inheritdoc/>
    public override string ToString() => Name;

    private bool HasRole(ClockRole role) => Rig.Graph.Rig.AllActs.Each.Any(act => Rig.Graph.Rig.RoleOf(made, act) == role);
}

/// <summary>What a clock follows in some acts.</summary>
public sealed class ClockTime
{
    private readonly Rig rig;
    private readonly ClockState made;

    internal ClockTime(Rig rig, ClockState made, ActSet acts)
    {
        (this.rig, this.made) = (rig, made);
        During = new During(rig, acts);
    }

    /// <summary>The acts it applies to.</summary>
    public During During { get; }

    /// <summary>Its source as a plan writes it: <c>internal</c>, <c>host</c>, <c>net</c>.</summary>
    public string Source => made.SourceText;

    /// <summary>Whether it runs free.</summary>
    public bool IsFree => made.IsFree;

    /// <summary>The clock that drives its source; null if it runs free, or nothing drives it.</summary>
    public Clock? Follows => made.Upstream is { } clock ? rig.ClockOf(clock) : null;

    /// <summary>The free-running clock at the end of the chain; null if there is none.</summary>
    public Clock? Root => made.Root is { } clock ? rig.ClockOf(clock) : null;

    /// <summary>Whether it follows itself, directly or through others.</summary>
    public bool IsLoop => made.Fault == ClockFault.Loop;
}
