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

    /// <summary>Over a cable that no statement declares: its length is unknown.</summary>
    ImpliedCable,

    /// <summary>Over a switched network.</summary>
    Network,
}

/// <summary>One hop of a block of channels: what all its edges share. Feeds that write a hop alike share it too.</summary>
public sealed class Hop
{
    /// <summary>How it goes.</summary>
    public required HopKind Kind { get; init; }

    /// <summary>The inner route, of a hop inside a unit.</summary>
    public Route? Route { get; init; }

    /// <summary>The network, of a hop over one.</summary>
    public Network? Network { get; init; }

    /// <summary>Where in a strip it is taken; unstated where it leaves no strip, or nothing says.</summary>
    public Tap Tap { get; init; }

    /// <summary>The gain written for it, in dB; null where it is set by ear.</summary>
    public double? Gain { get; init; }

    /// <summary>The alternatives it is one of, if it is: at most one of those of the same object sounds at a time.</summary>
    public object? Alternatives { get; init; }

    /// <summary>Whether it belongs to an insert: in series, no source of its own.</summary>
    public bool IsInsert { get; init; }

    /// <summary>Whether the compiler filled it in.</summary>
    public bool IsFilledIn { get; init; }

    /// <summary>Where it is written, or, filled in, between which points; from its statement's start.</summary>
    public TextSpan Span { get; init; }

    /// <summary>Whether it goes between connectors.</summary>
    public bool IsLink => Kind != HopKind.Route;
}

/// <summary>One channel's hop, between nodes of the signal graph.</summary>
public readonly record struct Edge(int From, int To, Hop Hop);
