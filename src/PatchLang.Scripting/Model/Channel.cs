using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>The direction of sound at a channel.</summary>
public enum Direction
{
    /// <summary>Into its unit.</summary>
    In,

    /// <summary>Out of its unit.</summary>
    Out,

    /// <summary>Inside: a strip or bus.</summary>
    Inside,
}

/// <summary>One channel of a port, or one strip or bus. Has value equality.</summary>
public sealed class Channel : IPlaced, IEquatable<Channel>
{
    internal Channel(Port port, GraphPoint point) => (Port, Point) = (port, point);

    internal GraphPoint Point { get; }

    private Rig Rig => Port.Unit.Rig;

    /// <summary>The port it is on.</summary>
    public Port Port { get; }

    /// <summary>The unit or card it is on.</summary>
    public Unit Unit => Port.Unit;

    /// <summary>Its number on the port, from 1; outgoing channels count from 1 again.</summary>
    public int Number => Point.Channel + 1;

    /// <summary>The direction of sound there.</summary>
    public Direction Direction => Point.Side switch { Side.In => Direction.In, Side.Out => Direction.Out, _ => Direction.Inside };

    /// <summary>The channel as a plan writes it: <c>desk.ch[5]</c>.</summary>
    public string Name => Point.ToString();

    /// <summary>Whether some feed uses it.</summary>
    public bool IsUsed => Rig.Graph.IsUsed(Point.Node) || Rig.SignalsAt(Point.Node).Any();

    /// <summary>Whether no feed uses it and nothing reserves it.</summary>
    public bool IsFree => !IsUsed && Reserved is null;

    /// <summary>The reservation that keeps it spare; null if there is none.</summary>
    public Reservation? Reserved => Rig.ReservationOf(Point.Node);

    /// <summary>The signals that pass through it, start or end there.</summary>
    public IEnumerable<Signal> Carries => Rig.SignalsAt(Point.Node);

    /// <summary>The hops that lead to it, in the order of the plan. Except at buses, more than one at a time is a conflict.</summary>
    public IReadOnlyList<Hop> ArrivesBy => Rig.Graph.Into(Point.Node).ToArray().Select(e => new Hop(Rig, e)).ToList();

    /// <summary>The hops that lead on from it, in the order of the plan.</summary>
    public IReadOnlyList<Hop> LeavesBy => Rig.Graph.OutOf(Point.Node).ToArray().Select(e => new Hop(Rig, e)).ToList();

    /// <summary>Whether somebody listens there.</summary>
    public bool IsListening => Port.IsListening;

    /// <summary>When sound arrives, after it left its first source: the range over the whole day and everything that arrives.</summary>
    public Latency Latency => LatencyIn(Rig.AllDay);

    /// <summary>The same in some acts.</summary>
    public Latency LatencyIn(During acts) => NodeFacts.LatencyAt(Rig, Point.Node, acts.Set);

    /// <summary>The level there, at its highest over the day.</summary>
    public SoundLevel Level => LevelIn(Rig.AllDay);

    /// <summary>The same in some acts.</summary>
    public SoundLevel LevelIn(During acts) => NodeFacts.LevelAt(Rig, Point.Node, acts.Set);

    /// <summary>The headroom there, at its lowest over the day; null if unknown.</summary>
    public Decibels? Headroom => NodeFacts.HeadroomAt(Rig, Point.Node, Rig.AllDay.Set);

    /// <summary>
    /// The first place in the plan that sends something to it or takes something from it; if there is none, the declaration of its unit.
    /// </summary>
    public Place Place =>
        (ArrivesBy.Count > 0 ? ArrivesBy : LeavesBy) is [var hop, ..] ? hop.Place
        : Carries.FirstOrDefault() is { } signal ? signal.Place
        : Unit.Place;

    /// <inheritdoc/>
    public bool Equals(Channel? other) => other is not null && ReferenceEquals(Port, other.Port) && Point == other.Point;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Channel);

    /// <inheritdoc/>
    public override int GetHashCode() => Point.GetHashCode();

    /// <summary>Whether they are the same channel.</summary>
    public static bool operator ==(Channel? left, Channel? right) => left is null ? right is null : left.Equals(right);

    /// <summary>Whether they are not the same channel.</summary>
    public static bool operator !=(Channel? left, Channel? right) => !(left == right);

    /// <inheritdoc/>
    public override string ToString() => Name;
}
