using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>Why a clock has no time of its own or of another.</summary>
public enum ClockFault
{
    /// <summary>It has: some clock that runs free is its root.</summary>
    None,

    /// <summary>It follows, by some way, itself.</summary>
    Loop,

    /// <summary>It follows a source at which no time arrives.</summary>
    NoTime,

    /// <summary>It follows a network of which nothing says who leads it.</summary>
    Undecided,
}

/// <summary>One clock in acts in which nothing about clocks differs.</summary>
/// <param name="Clock">The clock.</param>
/// <param name="Source">What it takes its time from.</param>
/// <param name="Upstream">The clock that drives that source; null where it runs free, or none does.</param>
/// <param name="Root">The clock that runs free at the end of the chain; null where there is none.</param>
/// <param name="Fault">Why there is no root.</param>
public sealed record ClockState(Clock Clock, ClockSource Source, Clock? Upstream, Clock? Root, ClockFault Fault)
{
    /// <summary>How a plan writes the source: <c>internal</c>, <c>host</c>, <c>net</c>.</summary>
    public string SourceText => ClockBinder.Words(Source);

    /// <summary>Whether it runs free.</summary>
    public bool IsFree => Source.Sort == ClockSourceSort.Internal;

    internal Following? Following { get; init; }
}

/// <summary>Who follows whom, in acts in which nothing about that differs.</summary>
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

    /// <summary>Every clock, in the rig's order.</summary>
    public ImmutableArray<ClockState> States => [.. states];

    /// <summary>One clock's state.</summary>
    public ClockState this[Clock clock] => states[clock.Index];

    /// <summary>The clock that leads a network that shares time; null where that is undecided.</summary>
    public Clock? LeaderOf(Network network) => ElectionOf(network)?.Leader;

    /// <summary>How a network that shares time gets its leader; null for a network that shares none, or is not there in these acts.</summary>
    public ClockElection? ElectionOf(Network network) => elections.GetValueOrDefault(network);
}
