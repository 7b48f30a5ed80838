using System.Collections.Immutable;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>What a feed is.</summary>
public enum FeedKind
{
    /// <summary>A named signal, or several, and the way they take.</summary>
    Feed,

    /// <summary>Signals that travel, or are mixed, together.</summary>
    Bundle,

    /// <summary>A loop out of a strip and back into it.</summary>
    Insert,
}

/// <summary>Where a feed starts.</summary>
public enum FeedOrigin
{
    /// <summary>That is not known.</summary>
    Unknown,

    /// <summary>At a socket, strip or bus, and not where another feed is: sound enters the plan here.</summary>
    Socket,

    /// <summary>Where another feed, or a bundle, is.</summary>
    Feed,

    /// <summary>At a mix of several.</summary>
    Mix,

    /// <summary>At one of several, of which one sounds at a time.</summary>
    Either,

    /// <summary>A bundle: its members side by side.</summary>
    Bundle,

    /// <summary>An insert.</summary>
    Insert,
}

/// <summary>A feed, bundle or insert, in acts in which nothing about it differs: its signals, each with its own way.</summary>
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

    /// <summary>What it is.</summary>
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

    /// <summary>What its first signal is called on paper; null where nobody wrote a label.</summary>
    public string? Label => Way.Count == 0 ? null : Way.LabelOf(0);

    /// <summary>When it is there.</summary>
    public During During => new(Rig, Way.Acts);

    /// <summary>Its signals: one, or as many as its index has.</summary>
    public IReadOnlyList<Signal> Signals => signals.Value;

    /// <summary>Whether nothing is known of it, since its statement has a finding of its own.</summary>
    public bool IsUnknown => Way.IsUnknown;

    /// <summary>What it is made of, in the order written: members of a mix or bundle, alternatives, or the signals it goes on from.</summary>
    public IReadOnlyList<Member> Members => field ??= [.. Way.Members.Select(m => new Member(this, m))];

    /// <summary>The hops of all its signals, and those by which the members of a mix come in.</summary>
    public IEnumerable<Hop> Hops => Enumerable.Range(Way.FirstEdge, Way.EdgeCount).Select(e => new Hop(Rig, e));

    /// <summary>The channels where its signals end.</summary>
    public IEnumerable<Channel> Ends => Signals.SelectMany(s => s.Ends);

    /// <summary>The channels where somebody hears some of it.</summary>
    public IEnumerable<Channel> HeardBy => Signals.SelectMany(s => s.HeardBy).Distinct();

    /// <summary>Whether the sound of another is in it at some time, through whatever mix.</summary>
    public bool Hears(Feed other)
    {
        ArgumentNullException.ThrowIfNull(other);
        var acts = During.And(other.During).Set;
        return !acts.IsEmpty && Rig.Graph.Upstream(Signals.SelectMany(s => s.EndNodes), acts).Overlaps(other.Signals.SelectMany(s => s.OwnNodes));
    }

    /// <summary>Whether the audience hears where it ends.</summary>
    public bool IsPublic => Way.IsPublic;

    /// <summary>Whether it says that the audience must never hear it: click, cue, talkback.</summary>
    public bool IsPrivate => Way.Feed?.IsPrivate == true;

    /// <summary>Whether it says that whoever makes the sound hears it in the skull too: a voice or a wind instrument.</summary>
    public bool IsVoiceOrWind => Way.Feed?.IsVoiceOrWind == true;

    /// <summary>Whose sound it is, or who hears the mix; null where the plan does not say.</summary>
    public string? Performer => Way.Feed?.Performer;

    /// <summary>What is written beside it; null where nothing is.</summary>
    public string? Note => Way.Note;

    /// <summary>A delay that is set on purpose; null where there is none.</summary>
    public TimeSpan? Delay => Way.Delay is { } seconds ? Latency.Seconds(seconds) : null;

    /// <summary>What the plan sets for it under a name: a text, or a number in its base unit; empty for a setting without a value, null where nothing is set.</summary>
    public string? Setting(string name) => SettingText.Of(Way.Feed?.Settings[name]);

    /// <summary>Where it is declared.</summary>
    public Place Place => new(Way.Place);

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>What a mix, a choice, a bundle, or a feed that goes on from another is made of.</summary>
public sealed class Member
{
    private readonly Feed taker;
    private readonly WayMember made;

    internal Member(Feed taker, WayMember made) => (this.taker, this.made) = (taker, made);

    /// <summary>The signal that is taken; null where it is a socket.</summary>
    public Signal? Signal => made.Way is { } way && made.Element < way.Count ? taker.Rig.FeedOf(way).Signals[made.Element] : null;

    /// <summary>Where it is taken; null where that could not be made out.</summary>
    public Channel? Channel => made.Point.IsUnknown ? null : taker.Rig.ChannelOf(made.Point);

    /// <summary>The signals of the taker that it goes to.</summary>
    public IEnumerable<Signal> Into => made.Places.Select(p => taker.Signals[p]);

    /// <summary>Where in a strip it is taken; null where it leaves no strip, or nothing says.</summary>
    public TapPoint? Tap => TapPoints.Of(made.Tap);

    /// <summary>The gain written for it; null where it is set by ear.</summary>
    public Decibels? Gain => made.Gain is { } gain ? new Decibels(gain) : null;

    /// <inheritdoc/>
    public override string ToString() => Signal?.Name ?? Channel?.Name ?? "unknown";
}
