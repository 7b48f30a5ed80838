using System.Collections.Immutable;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Scripting.Model;

/// <summary>One signal of a feed: a single mono line, from where the feed starts to where it ends.</summary>
public sealed class Signal : IPlaced
{
    private readonly Lazy<ImmutableArray<WayStop>> stops;
    private readonly Lazy<ImmutableArray<Channel>> heardBy;

    internal Signal(Feed feed, int element)
    {
        (Feed, Element) = (feed, element);
        stops = new(() => feed.Way.StopsOf(element));
        heardBy = new(FindListeners);
    }

    internal int Element { get; }

    /// <summary>The nodes of the signal graph that it passes: its stops and, for alternatives, every end.</summary>
    internal IEnumerable<int> Nodes => stops.Value.Select(s => s.Point.Node).Concat(EndNodes).Distinct();

    /// <summary>
    /// The nodes that carry its own sound: everywhere on the way of a source
    /// or a mix, but only after the start for a feed that continues another.
    /// </summary>
    internal IEnumerable<int> OwnNodes
    {
        get
        {
            var passed = stops.Value.Skip(Feed.Way.Origin is WayOrigin.Socket or WayOrigin.Sum or WayOrigin.Insert ? 0 : 1).Select(s => s.Point.Node).ToList();
            return passed.Count > 0 ? passed : EndNodes;
        }
    }

    /// <summary>Where it ends.</summary>
    internal IEnumerable<int> EndNodes => Feed.Way.EndsOf(Element).Select(p => p.Node);

    private Rig Rig => Feed.Rig;

    /// <summary>The feed it belongs to.</summary>
    public Feed Feed { get; }

    /// <summary>Its name in the plan: <c>lead</c>, <c>tom[2]</c>.</summary>
    public string Name => Feed.Way.NameOf(Element);

    /// <summary>Its label, or that of the feed it continues; null if none was written.</summary>
    public string? Label => Feed.Way.LabelOf(Element);

    /// <summary>Its display name: its label or, without one, its name.</summary>
    public string Title => Feed.Way.TitleOf(Element);

    /// <summary>The acts in which it exists.</summary>
    public During During => Feed.During;

    /// <summary>Whether it does not exist in these acts, because what it would be made of does not.</summary>
    public bool IsAbsent => Feed.Way.IsAbsent(Element);

    /// <summary>Whether some hop of it could not be made, which has a finding of its own.</summary>
    public bool IsBroken => Feed.Way.IsBroken(Element);

    /// <summary>The channels it passes, in order.</summary>
    public IReadOnlyList<Channel> Channels => field ??= [.. stops.Value.Select(s => Rig.ChannelOf(s.Point))];

    /// <summary>Its hops, in order, without those from the members of a mix into it.</summary>
    public IReadOnlyList<Hop> Hops => field ??= [.. stops.Value.Where(s => s.Edge >= 0).Select(s => new Hop(Rig, s.Edge))];

    /// <summary>Where it starts, for a source its socket; null if unknown.</summary>
    public Channel? Start => Channels.Count > 0 ? Channels[0] : null;

    /// <summary>Where it ends: one channel, several for a choice of alternatives, none if unknown.</summary>
    public IReadOnlyList<Channel> Ends => field ??= [.. Feed.Way.EndsOf(Element).Select(Rig.ChannelOf)];

    /// <summary>Where it ends, if that is a single channel.</summary>
    public Channel? End => Ends is [var end] ? end : null;

    /// <summary>The channels where the sound in it enters the rig, traced back through all mixes.</summary>
    public IEnumerable<Channel> Origins => Rig.Graph.Upstream(Nodes, During.Set).Where(n => !IsFed(n)).Order().Select(Rig.ChannelOf);

    /// <summary>The channels where somebody hears it, traced on through all mixes.</summary>
    public IReadOnlyList<Channel> HeardBy => heardBy.Value;

    /// <summary>Whether it contains, through any mixes, sound of another signal at some time.</summary>
    public bool Hears(Signal other)
    {
        ArgumentNullException.ThrowIfNull(other);
        var acts = During.And(other.During).Set;
        return !acts.IsEmpty && Rig.Graph.Upstream(EndNodes, acts).Overlaps(other.OwnNodes);
    }

    /// <summary>When it arrives at its end, after the sound in it left its first source.</summary>
    public Latency Latency => Ends is [var end, ..] ? end.LatencyIn(During) : default;

    /// <summary>The level at its end.</summary>
    public SoundLevel Level => Ends is [var end, ..] ? end.LevelIn(During) : default;

    /// <summary>The headroom at its end; null if unknown.</summary>
    public Decibels? Headroom => Ends is [var end, ..] ? NodeFacts.HeadroomAt(Rig, end.Point.Node, During.Set) : null;

    /// <summary>The level stated for its source; null if not stated.</summary>
    public Level? SourceLevel => Physics.Level.Of(Feed.Way.LevelOf(Element));

    /// <summary>The microphone or box at its source; null if not stated.</summary>
    public string? Mic => Feed.Way.MicOf(Element);

    /// <summary>The stand at its source; null if not stated.</summary>
    public string? Stand => Feed.Way.StandOf(Element);

    /// <summary>Whether its source needs phantom power.</summary>
    public bool HasPhantom => Feed.Way.HasPhantom(Element);

    /// <summary>Whether it contains, through any mixes, sound that the audience must never hear.</summary>
    public bool IsPrivate => Feed.Way.IsPrivate(Element);

    /// <summary>Where its feed is declared.</summary>
    public Place Place => Feed.Place;

    /// <inheritdoc/>
    public override string ToString() => Name;

    private bool IsFed(int node)
    {
        foreach (var edge in Rig.Graph.Into(node))
            if (Rig.IsThere(edge, During.Set)) return true;
        return false;
    }

    private ImmutableArray<Channel> FindListeners() =>
        [.. Rig.Graph.Downstream(OwnNodes, During.Set).Where(n => Rig.Graph.Rig.SocketOf(n).Settings.Has("listener")).Order().Select(Rig.ChannelOf)];
}
