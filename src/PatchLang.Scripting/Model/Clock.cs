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

    /// <summary>What the plan calls it: its unit, and the clock where the unit has several.</summary>
    public string Name => made.Name;

    /// <summary>The unit or card it is in.</summary>
    public Unit Unit => Rig.UnitOf(made.Device);

    /// <summary>The sample rate it gives.</summary>
    public Hertz Rate => Unit.Rate;

    /// <summary>How far off it may be when it runs free, in ppm; null where nothing says.</summary>
    public double? AccuracyPpm => made.Model.AccuracyPpm;

    /// <summary>What it takes its time from, for each set of acts in which nothing about clocks differs.</summary>
    public IReadOnlyList<ClockTime> Times => times.Value;

    /// <summary>The clock it follows; null where it runs free or follows none. Of a clock that changes through the day, what holds first.</summary>
    public Clock? Follows => Times is [var first, ..] ? first.Follows : null;

    /// <summary>The clock that runs free at the end of the chain; null where there is none. Of a clock that changes through the day, what holds first.</summary>
    public Clock? Root => Times is [var first, ..] ? first.Root : null;

    /// <summary>Whether it runs free all day.</summary>
    public bool IsFree => Times.All(t => t.IsFree);

    /// <summary>Whether the plan makes it a timekeeper at some time of the day.</summary>
    public bool IsTimekeeper => HasRole(ClockRole.Timekeeper);

    /// <summary>Whether it stands by to take over at some time of the day.</summary>
    public bool IsStandby => HasRole(ClockRole.Standby);

    /// <summary>Where it is written what it follows; of one that nobody told, where its unit is declared.</summary>
    public Place Place => new(Rig.Plan.PlaceOf(Rig.Plan.Clocks.Views[0][made]));

    /// <inheritdoc/>
    public override string ToString() => Name;

    private bool HasRole(ClockRole role) => Rig.Graph.Rig.AllActs.Each.Any(act => Rig.Graph.Rig.RoleOf(made, act) == role);
}

/// <summary>What a clock takes its time from in some acts.</summary>
public sealed class ClockTime
{
    private readonly Rig rig;
    private readonly ClockState made;

    internal ClockTime(Rig rig, ClockState made, ActSet acts)
    {
        (this.rig, this.made) = (rig, made);
        During = new During(rig, acts);
    }

    /// <summary>When.</summary>
    public During During { get; }

    /// <summary>How a plan writes it: <c>internal</c>, <c>host</c>, <c>net</c>.</summary>
    public string Source => made.SourceText;

    /// <summary>Whether it runs free.</summary>
    public bool IsFree => made.IsFree;

    /// <summary>The clock that drives what it follows; null where it runs free, or none does.</summary>
    public Clock? Follows => made.Upstream is { } clock ? rig.ClockOf(clock) : null;

    /// <summary>The clock that runs free at the end of the chain; null where there is none.</summary>
    public Clock? Root => made.Root is { } clock ? rig.ClockOf(clock) : null;

    /// <summary>Whether it follows, by some way, itself.</summary>
    public bool IsLoop => made.Fault == ClockFault.Loop;
}
