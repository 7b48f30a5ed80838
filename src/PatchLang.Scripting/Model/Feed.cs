using System.Collections.Immutable;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>The kinds of feeds.</summary>
public enum FeedKind
{
    /// <summary>A feed: one or several named signals, and the way they take.</summary>
    Feed,

    /// <summary>A bundle: signals that are routed or mixed together.</summary>
    Bundle,

    /// <summary>An insert: a loop out of a strip and back into it.</summary>
    Insert,
}

/// <summary>Where a feed starts.</summary>
public enum FeedOrigin
{
    /// <summary>Unknown.</summary>
    Unknown,

    /// <summary>At a socket, strip or bus: sound enters the plan here.</summary>
    Socket,

    /// <summary>From another feed or a bundle.</summary>
    Feed,

    /// <summary>A mix of several signals.</summary>
    Mix,

    /// <summary>One of several signals, of which one sounds at a time.</summary>
    Either,

    /// <summary>A bundle: its members side by side.</summary>
    Bundle,

    /// <summary>An insert.</summary>
    Insert,
}

/// <summary>A feed, bundle or insert, in a set of acts throughout which it is the same, with its signals.</summary>
public sealed class Feed : IPlaced
{
    private readonly Lazy<ImmutableArray<Signal>> signals;

    internal Feed(Rig rig, FeedWay way)
    {
        (Rig, Way) = (rig, way);
        signals = new(() => [.. Enumerable.Range(0, way.Count).Select(i => new Signal(this, i))]);
    }

    internal FeedWay Way { get; }

    internal int Number => Way.Number;

    /// <summary>The plan it is in.</summary>
    public Rig Rig { get; }

    /// <summary>The kind of feed.</summary>
    public FeedKind Kind => Way.Origin switch { WayOrigin.Insert => FeedKind.Insert, WayOrigin.Bundle => FeedKind.Bundle, _ => FeedKind.Feed };

    /// <summary>Where it starts.</summary>
    public FeedOrigin Origin => Way.Origin switch
    {
        WayOrigin.Socket => FeedOrigin.Socket,
        WayOrigin.Feed => FeedOrigin.Feed,
        WayOrigin.Sum => FeedOrigin.Mix,
        WayOrigin.Either => FeedOrigin.Either,
        WayOrigin.Bundle => FeedOrigin.Bundle,
        WayOrigin.Insert => FeedOrigin.Insert,
        _ => FeedOrigin.Unknown,
    };

    /// <inheritdoc/>
    public string Name => Way.Name;

    /// <summary>The label of its first signal; null if none was written.</summary>
    public string? Label => Way.Count == 0 ? null : Way.LabelOf(0);

    /// <summary>The acts in which it exists.</summary>
    public During During => new(Rig, Way.Acts);

    /// <summary>Its signals: one, or as many as its index declares.</summary>
    public IReadOnlyList<Signal> Signals => signals.Value;

    /// <summary>Whether nothing is known of it, because its statement has an error, which has a finding of its own.</summary>
    public bool IsUnknown => Way.IsUnknown;

    /// <summary>What it is made of, in the order written: members of a mix or bundle, alternatives, or the signals it continues.</summary>
    public IReadOnlyList<Member> Members => field ??= [.. Way.Members.Select(m => new Member(this, m))];

    /// <summary>The hops of all its signals, including those from the members of a mix into it.</summary>
    public IEnumerable<Hop> Hops => Enumerable.Range(Way.FirstEdge, Way.EdgeCount).Select(e => new Hop(Rig, e));

    /// <summary>The channels where its signals end.</summary>
    public IEnumerable<Channel> Ends => Signals.SelectMany(s => s.Ends);

    /// <summary>The channels where somebody hears any of it.</summary>
    public IEnumerable<Channel> HeardBy => Signals.SelectMany(s => s.HeardBy).Distinct();

    /// <summary>Whether it contains, through any mixes, sound of another feed at some time.</summary>
    public bool Hears(Feed other)
    {
        ArgumentNullException.ThrowIfNull(other);
        var acts = During.And(other.During).Set;
        return !acts.IsEmpty && Rig.Graph.Upstream(Signals.SelectMany(s => s.EndNodes), acts).Overlaps(other.Signals.SelectMany(s => s.OwnNodes));
    }

    /// <summary>Whether the audience hears the place where it ends.</summary>
    public bool IsPublic => Way.IsPublic;

    /// <summary>Whether it is declared as one that the audience must never hear (click, cue, talkback).</summary>
    public bool IsPrivate => Way.Feed?.IsPrivate == true;

    /// <summary>Whether it is declared as a voice or a wind instrument, whose performer also hears the sound through the skull.</summary>
    public bool IsVoiceOrWind => Way.Feed?.IsVoiceOrWind == true;

    /// <summary>The performer whose sound it is, or who hears the mix; null if not stated.</summary>
    public string? Performer => Way.Feed?.Performer;

    /// <summary>Its note; null if it has none.</summary>
    public string? Note => Way.Note;

    /// <summary>Its intentional delay; null if it has none.</summary>
    public TimeSpan? Delay => Way.Delay is { } seconds ? Latency.Seconds(seconds) : null;

    /// <summary>The value of a setting: a string, or a number in its base unit; empty for a setting without a value, null if it is not set.</summary>
    public string? Setting(string name) => SettingText.Of(Way.Feed?.Settings[name]);

    /// <summary>Where it is declared.</summary>
    public Place Place => new(Way.Place);

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>One constituent of a mix, a choice, a bundle, or a feed that continues another.</summary>
public sealed class Member
{
    private readonly Feed taker;
    private readonly WayMember made;

    internal Member(Feed taker, WayMember made) => (this.taker, this.made) = (taker, made);

    /// <summary>The signal that is taken; null if it is a socket.</summary>
    public Signal? Signal => made.Way is { } way && made.Element < way.Count ? taker.Rig.FeedOf(way).Signals[made.Element] : null;

    /// <summary>The channel where it is taken; null if unknown.</summary>
    public Channel? Channel => made.Point.IsUnknown ? null : taker.Rig.ChannelOf(made.Point);

    /// <summary>The signals that it becomes part of.</summary>
    public IEnumerable<Signal> Into => made.Places.Select(p => taker.Signals[p]);

    /// <summary>Where in a strip it is taken; null if it leaves no strip, or nothing says.</summary>
    public TapPoint? Tap => TapPoints.Of(made.Tap);

    /// <summary>The gain written for it; null if it is set by ear.</summary>
    public Decibels? Gain => made.Gain is { } gain ? new Decibels(gain) : null;

    /// <inheritdoc/>
    public override string ToString() => Signal?.Name ?? Channel?.Name ?? "unknown";
}
