using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>Where a way starts.</summary>
public enum WayOrigin
{
    /// <summary>The plan does not say, or the start could not be resolved.</summary>
    None,

    /// <summary>At a socket, strip or bus: sound enters the plan here.</summary>
    Socket,

    /// <summary>From another feed or a bundle.</summary>
    Feed,

    /// <summary>A mix of several signals.</summary>
    Sum,

    /// <summary>One of several signals, of which one sounds at a time.</summary>
    Either,

    /// <summary>A bundle: its members side by side.</summary>
    Bundle,

    /// <summary>A loop out of a strip and back into it.</summary>
    Insert,
}

/// <summary>A point that one element of a signal path passes.</summary>
/// <param name="Point">The point; unknown if it could not be resolved.</param>
/// <param name="By">The hop that leads here from the previous stop; null at the first stop, and if it is not known.</param>
/// <param name="Edge">That hop's edge in the signal graph; −1 if there is none.</param>
/// <param name="IsFilledIn">Whether the plan does not write the point: the compiler filled it in, since there was only one way.</param>
public readonly record struct WayStop(GraphPoint Point, Hop? By, int Edge, bool IsFilledIn);

/// <summary>One constituent of a mix, a choice, a bundle, or a feed that continues another.</summary>
/// <param name="Way">The feed it comes from; null if it is a socket.</param>
/// <param name="Element">The index of that feed's element.</param>
/// <param name="Point">Where it is picked up; unknown if that could not be resolved.</param>
/// <param name="Places">The elements that it becomes part of.</param>
/// <param name="Tap">Where in a strip it is taken; unstated if it leaves no strip, or nothing says.</param>
/// <param name="Gain">The gain written for it, in dB; null if it is set by ear.</param>
/// <param name="Alternatives">An object shared by the members of one choice, of which at most one sounds at a time; else null.</param>
public sealed record WayMember(FeedWay? Way, int Element, GraphPoint Point, ImmutableArray<int> Places, Tap Tap, double? Gain, object? Alternatives);

/// <summary>
/// The signal path of a feed, bundle or insert, in a set of acts throughout which it is the same: its elements, the points each
/// passes and ends at, what they are made of, and the settings that apply along the way. Read-only.
/// </summary>
public sealed class FeedWay
{
    private readonly FeedWays all;
    private readonly FeedBinding binding;
    private readonly FeedVariant variant;
    private Place? place;
    private ImmutableArray<WayMember> members;
    private Dictionary<(int, int), int>? edgeBetween;

    internal FeedWay(FeedWays all, int number, FeedBinding binding, FeedVariant variant, int firstEdge, string name)
    {
        this.all = all;
        this.binding = binding;
        this.variant = variant;
        Number = number;
        FirstEdge = firstEdge;
        Name = name;
    }

    /// <summary>Its index among the plan's ways: feeds and bundles in the order of the files, then inserts.</summary>
    public int Number { get; }

    /// <summary>The feed or bundle; null for an insert.</summary>
    public Symbol? Symbol => binding.Symbol;

    /// <summary>The feed, if it is one.</summary>
    public FeedSymbol? Feed => binding.Symbol as FeedSymbol;

    /// <summary>The name of the feed or bundle; for an insert its label or, without one, its strip.</summary>
    public string Name { get; }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts => variant.Acts;

    /// <summary>Where the plan declares it.</summary>
    public Place Place => place ??= all.PlaceOf(binding.Symbol?.Anchor ?? Anchors.OpenerOf(binding.Statement));

    /// <summary>Its signals.</summary>
    public Elements Elements => variant.Elements;

    /// <summary>The number of its signals.</summary>
    public int Count => variant.Elements.Count;

    /// <summary>Whether nothing is known of it, not even the number of its signals.</summary>
    public bool IsUnknown => variant.IsUnknown;

    /// <summary>Where it starts.</summary>
    public WayOrigin Origin => binding.Symbol switch
    {
        null => WayOrigin.Insert,
        BundleSymbol => WayOrigin.Bundle,
        FeedSymbol { Origin: SumOrigin } => WayOrigin.Sum,
        FeedSymbol { Origin: EitherOrigin } => WayOrigin.Either,
        FeedSymbol { Origin.Tapped: not null } when variant.StartsAtSocket => WayOrigin.Socket,
        FeedSymbol { Origin.Tapped: not null } when !variant.IsUnknown => WayOrigin.Feed,
        _ => WayOrigin.None,
    };

    /// <summary>The number of its first edge in the signal graph; its edges are numbered consecutively.</summary>
    public int FirstEdge { get; }

    /// <summary>The number of its edges.</summary>
    public int EdgeCount => variant.Edges.Length;

    /// <summary>What it is made of, in the order written: members of a sum or bundle, alternatives, or the signals it continues.</summary>
    public ImmutableArray<WayMember> Members => members.IsDefault ? members = all.MembersOf(this, binding, variant) : members;

    /// <summary>The plan's name for an element: <c>lead</c>, <c>tom[2]</c>.</summary>
    public string NameOf(int element) => Elements.IsIndexed ? $"{Name}[{Elements.NameOf(element)}]" : Name;

    /// <summary>
    /// The label of an element: its own, or that of the feed it continues; null if none was written. If one label serves several
    /// elements, each element's name is appended.
    /// </summary>
    public string? LabelOf(int element)
    {
        var (at, index) = (this, element);
        for (var steps = 0; steps < all.Count; steps++)
        {
            if (at.OwnLabel(index) is { } label) return label;
            if (at.Before(index) is not var (next, its)) return null;
            (at, index) = (next, its);
        }
        return null;
    }

    /// <summary>The display name of an element: its label or, without one, its name.</summary>
    public string TitleOf(int element) => LabelOf(element) ?? NameOf(element);

    /// <summary>Whether an element does not exist in these acts.</summary>
    public bool IsAbsent(int element) => element < variant.Ends.Length && variant.Ends[element].IsAbsent;

    /// <summary>Whether some hop of an element could not be made, so that its way is not fully known.</summary>
    public bool IsBroken(int element) => variant.IsUnknown || element >= variant.Ends.Length || (!variant.Ends[element].IsAbsent && variant.IsBroken(element));

    /// <summary>Where an element ends: one point, several if it is a choice of alternatives, none if unknown.</summary>
    public ImmutableArray<GraphPoint> EndsOf(int element)
    {
        if (element >= variant.Ends.Length) return [];
        var end = variant.Ends[element];
        var others = (end.Others ?? []).Select(all.Rig.PointAt);
        return end.IsUnknown ? [.. others] : [all.Rig.PointOf(end.Node), .. others];
    }

    /// <summary>The points an element passes, in order, without those that could not be resolved.</summary>
    public ImmutableArray<WayStop> StopsOf(int element)
    {
        var stops = ImmutableArray.CreateBuilder<WayStop>(variant.StopCount);
        for (var i = 0; i < variant.StopCount; i++)
        {
            var point = all.Rig.PointAt(variant.NodeAt(i, element));
            if (point.IsUnknown || (stops.Count > 0 && stops[^1].Point == point)) continue;
            var edge = stops.Count == 0 ? -1 : EdgeBetween(stops[^1].Point.Node, point.Node);
            stops.Add(new WayStop(point, edge < 0 ? null : variant.Edges[edge - FirstEdge].Hop, edge, variant.FilledInStops?.Contains(i) == true));
        }
        return stops.DrainToImmutable();
    }

    /// <summary>
    /// A setting that an element inherits from upstream (<c>mic</c>, <c>stand</c>
    /// or <c>level</c>): the nearest one written; null if there is none.
    /// </summary>
    public Setting? Inherited(string name, int element)
    {
        var (at, index) = (this, element);
        for (var steps = 0; steps < all.Count; steps++)
        {
            if (at.Feed?.Settings[name] is { } setting) return setting;
            if (at.Before(index) is not var (next, its)) return null;
            (at, index) = (next, its);
        }
        return null;
    }

    /// <summary>The microphone or box at an element's source, if written.</summary>
    public string? MicOf(int element) => Inherited("mic", element)?.Text;

    /// <summary>The stand at an element's source, if written.</summary>
    public string? StandOf(int element) => Inherited("stand", element)?.Text;

    /// <summary>The level of an element's source, if written.</summary>
    public Quantity? LevelOf(int element) => Inherited("level", element)?.Value;

    /// <summary>Whether an element's source needs phantom power.</summary>
    public bool HasPhantom(int element) => Inherited("phantom", element) is not null;

    /// <summary>The note written for this feed; it is not inherited.</summary>
    public string? Note => Feed?.Settings["note"]?.Text;

    /// <summary>The intentional delay of this feed, in seconds; it is not inherited.</summary>
    public double? Delay => Feed?.Settings["delay"]?.Value?.Value;

    /// <summary>The unit that controls the gain and phantom power of a shared preamplifier, if written.</summary>
    public string? GainBy => Feed?.Settings["gain_by"]?.Text;

    /// <summary>Whether the audience hears where it ends.</summary>
    public bool IsPublic => Feed?.IsPublic == true;

    /// <summary>Whether an element contains, through any mixes, sound that the audience must never hear (click, cue, talkback).</summary>
    public bool IsPrivate(int element)
    {
        var seen = new HashSet<(FeedWay, int)> { (this, element) };
        var open = new Stack<(FeedWay Way, int Element)>(seen);
        while (open.TryPop(out var at))
        {
            if (at.Way.Feed?.IsPrivate == true) return true;
            foreach (var member in at.Way.Members)
                if (member.Way is { } way && member.Places.Contains(at.Element) && seen.Add((way, member.Element))) open.Push((way, member.Element));
        }
        return false;
    }

    /// <inheritdoc/>
    public override string ToString() => Name;

    internal FeedVariant Variant => variant;

    /// <summary>The edge from one node to another; −1 if there is none.</summary>
    internal int EdgeBetween(int from, int to)
    {
        if (edgeBetween is null)
        {
            edgeBetween = new Dictionary<(int, int), int>(variant.Edges.Length);
            for (var i = 0; i < variant.Edges.Length; i++) edgeBetween.TryAdd((variant.Edges[i].From, variant.Edges[i].To), FirstEdge + i);
        }
        return edgeBetween.GetValueOrDefault((from, to), -1);
    }

    private string? OwnLabel(int element)
    {
        if (Feed is not { Labels: { IsEmpty: false } labels }) return null; // the labels of a bundle's members say more than its own
        if (labels.Length > 1) return element < labels.Length ? labels[element] : null;
        return Count == 1 ? labels[0] : $"{labels[0]} {Elements.NameOf(element)}";
    }

    /// <summary>The element that an element continues; null for a mix, which inherits nothing, and at a start.</summary>
    private (FeedWay, int)? Before(int element)
    {
        if (Origin is not (WayOrigin.Feed or WayOrigin.Either or WayOrigin.Bundle)) return null;
        foreach (var member in Members)
            if (member.Way is { } way && member.Places.Contains(element)) return (way, member.Element);
        return null;
    }
}
