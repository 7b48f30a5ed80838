using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>Why a clock has no root.</summary>
public enum ClockFault
{
    /// <summary>No fault: a free-running clock is its root.</summary>
    None,

    /// <summary>It follows itself, directly or through others.</summary>
    Loop,

    /// <summary>It follows a source that receives no time.</summary>
    NoTime,

    /// <summary>Its root can't be determined: it follows a network whose leader is undecided, or something that could not be resolved.</summary>
    Undecided,
}

/// <summary>The state of one clock in a set of acts with the same clocking.</summary>
/// <param name="Clock">The clock.</param>
/// <param name="Source">The source it takes its time from.</param>
/// <param name="Upstream">The clock that drives that source; null if it runs free, or nothing drives it.</param>
/// <param name="Root">The free-running clock at the end of the chain; null if there is none.</param>
/// <param name="Fault">Why there is no root.</param>
public sealed record ClockState(Clock Clock, ClockSource Source, Clock? Upstream, Clock? Root, ClockFault Fault)
{
    /// <summary>The source as a plan writes it: <c>internal</c>, <c>host</c>, <c>net</c>.</summary>
    public string SourceText => ClockBinder.Words(Source);

    /// <summary>Whether it runs free.</summary>
    public bool IsFree => Source.Sort == ClockSourceSort.Internal;

    internal Following? Following { get; init; }
}

/// <summary>Which clock follows which, in a set of acts with the same clocking.</summary>
public sealed class ClockView
{
    private readonly ClockState[] states;
    private readonly Dictionary<Network, ClockElection> elections;

    internal ClockView(ActSet acts, ClockState[] states, Dictionary<Network, ClockElection> elections)
    {
        Acts = acts;
        this.states = states;
        this.elections = elections;
    }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts { get; }

    /// <summary>A timekeeper that is left out of this view, to see what would hold without it; null for the plan as it is.</summary>
    internal Timekeeping? LeftOut { get; init; }

    /// <summary>Every clock, in the rig's order.</summary>
    public ImmutableArray<ClockState> States => [.. states];

    /// <summary>One clock's state.</summary>
    public ClockState this[Clock clock] => states[clock.Index];

    /// <summary>The clock that leads a network that shares time; null if that is undecided.</summary>
    public Clock? LeaderOf(Network network) => ElectionOf(network)?.Leader;

    /// <summary>The election on a network that shares time; null if it shares none, or does not exist in these acts.</summary>
    public ClockElection? ElectionOf(Network network) => elections.GetValueOrDefault(network);
}
