using PatchLang.Declarations;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>How a signal gets from one point to the next.</summary>
public enum HopKind
{
    /// <summary>Inside a unit.</summary>
    Route,

    /// <summary>Over a declared cable.</summary>
    Cable,

    /// <summary>Over a cable that no statement declares, and whose length is therefore unknown.</summary>
    ImpliedCable,

    /// <summary>Over a switched network.</summary>
    Network,
}

/// <summary>What all edges of one hop share. Feeds that write a hop alike share it too.</summary>
public sealed class Hop
{
    /// <summary>The kind of hop.</summary>
    public required HopKind Kind { get; init; }

    /// <summary>For a hop inside a unit, the route.</summary>
    public Route? Route { get; init; }

    /// <summary>For a hop over a network, the network.</summary>
    public Network? Network { get; init; }

    /// <summary>Where in a strip it is taken; unstated if it leaves no strip, or nothing says.</summary>
    public Tap Tap { get; init; }

    /// <summary>The gain written for it, in dB; null if it is set by ear.</summary>
    public double? Gain { get; init; }

    /// <summary>An object shared by the hops of one choice, of which at most one sounds at a time; else null.</summary>
    public object? Alternatives { get; init; }

    /// <summary>Whether it belongs to an insert, which is in series and adds no source.</summary>
    public bool IsInsert { get; init; }

    /// <summary>Whether the plan does not write it and the compiler filled it in.</summary>
    public bool IsFilledIn { get; init; }

    /// <summary>Where it is written or, if filled in, the span of the points it is between; counted from the statement's start.</summary>
    public TextSpan Span { get; init; }

    /// <summary>Whether it runs between connectors.</summary>
    public bool IsLink => Kind != HopKind.Route;
}

/// <summary>One channel of a hop, between two nodes of the signal graph.</summary>
public readonly record struct Edge(int From, int To, Hop Hop);
