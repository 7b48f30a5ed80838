using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>How a signal gets from one channel to the next.</summary>
public enum HopKind
{
    /// <summary>Inside a unit.</summary>
    Route,

    /// <summary>Over a cable that the plan declares.</summary>
    Cable,

    /// <summary>Over a cable that no statement declares.</summary>
    ImpliedCable,

    /// <summary>Over a network.</summary>
    Network,
}

/// <summary>One hop of one signal. Has value equality.</summary>
public sealed class Hop : IPlaced, IEquatable<Hop>
{
    private readonly Rig rig;
    private readonly int edge;

    internal Hop(Rig rig, int edge) => (this.rig, this.edge) = (rig, edge);

    private Graph.Hop Made => rig.Graph.HopOf(edge);

    /// <summary>The channel it leaves.</summary>
    public Channel From => rig.ChannelOf(rig.Graph.FromOf(edge));

    /// <summary>The channel it arrives at.</summary>
    public Channel To => rig.ChannelOf(rig.Graph.ToOf(edge));

    /// <summary>The feed or insert that it belongs to.</summary>
    public Feed Feed => rig.OwnerOf(edge);

    /// <summary>The kind of hop.</summary>
    public HopKind Kind => Made.Kind switch
    {
        Graph.HopKind.Route => HopKind.Route,
        Graph.HopKind.Cable => HopKind.Cable,
        Graph.HopKind.ImpliedCable => HopKind.ImpliedCable,
        _ => HopKind.Network,
    };

    /// <summary>For a hop over a network, the network.</summary>
    public Network? Network => Made.Network is { } network ? rig.NetworkOf(network) : null;

    /// <summary>For a hop over a declared cable, the cable.</summary>
    public Cable? Cable => Made.Kind == Graph.HopKind.Cable ? rig.CableBetween(rig.Graph.Rig.PointOf(rig.Graph.FromOf(edge)), rig.Graph.Rig.PointOf(rig.Graph.ToOf(edge)), rig.Graph.ActsOf(edge)) : null;

    /// <summary>Where in a strip it is taken; null if it leaves no strip, or nothing says.</summary>
    public TapPoint? Tap => TapPoints.Of(Made.Tap);

    /// <summary>The gain written for it; null if it is set by ear.</summary>
    public Decibels? Gain => Made.Gain is { } gain ? new Decibels(gain) : null;

    /// <summary>Whether it is one of several alternatives, of which one sounds at a time.</summary>
    public bool IsAlternative => Made.Alternatives is not null;

    /// <summary>Whether it and another are alternatives of the same choice, so that they never sound at the same time.</summary>
    public bool IsAlternativeTo(Hop other)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (Made.Alternatives is { } mine && ReferenceEquals(mine, other.Made.Alternatives)) return true;
        return Made.Route is { Sort: RouteSort.Either } route && ReferenceEquals(route, other.Made.Route) && From.Unit == other.From.Unit; // a switch
    }

    /// <summary>Whether the plan does not write it and the compiler filled it in, since there was only one way.</summary>
    public bool IsFilledIn => Made.IsFilledIn;

    /// <summary>The acts in which it exists.</summary>
    public During During => new(rig, rig.Graph.ActsOf(edge));

    /// <summary>Its delay.</summary>
    public Latency Latency => rig.Plan.Facts.Delays[edge] is var delay ? Latency.OfSeconds(delay.Earliest, delay.Latest, delay.IsKnown) : default;

    /// <summary>The hop as a plan would write it: <c>rack.mic[1] -> rack.net[1]</c>.</summary>
    public string Name => $"{From} -> {To}";

    /// <summary>Where it is written; for a filled-in hop, the written points it is between.</summary>
    public Place Place => new(rig.Plan.PlaceOf(edge));

    /// <inheritdoc/>
    public bool Equals(Hop? other) => other is not null && ReferenceEquals(rig, other.rig) && edge == other.edge;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Hop);

    /// <inheritdoc/>
    public override int GetHashCode() => edge;

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>The point in a strip at which a signal is taken.</summary>
public enum TapPoint
{
    /// <summary>Before everything, including inserts.</summary>
    BeforeAll,

    /// <summary>After the insert and before the fader.</summary>
    BeforeFader,

    /// <summary>After the fader.</summary>
    AfterFader,
}

internal static class TapPoints
{
    public static TapPoint? Of(Tap tap) => tap switch
    {
        Tap.BeforeAll => TapPoint.BeforeAll,
        Tap.BeforeFader => TapPoint.BeforeFader,
        Tap.AfterFader => TapPoint.AfterFader,
        _ => null,
    };
}
