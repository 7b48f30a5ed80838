using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>Where a way starts.</summary>
public enum WayOrigin
{
    /// <summary>Nowhere that the plan says: the feed names a source alone, or what it starts from is not known.</summary>
    None,

    /// <summary>At a socket, strip or bus, and not where another feed is: sound enters the plan here.</summary>
    Socket,

    /// <summary>Where another feed, or a bundle, is.</summary>
    Feed,

    /// <summary>At a mix of several.</summary>
    Sum,

    /// <summary>At one of several, of which one sounds at a time.</summary>
    Either,

    /// <summary>A bundle: the members side by side.</summary>
    Bundle,

    /// <summary>A loop out of a strip and back into it.</summary>
    Insert,
}

/// <summary>A point that one element of a way passes.</summary>
/// <param name="Point">The point; unknown where the way to it could not be made out.</param>
/// <param name="By">The hop that leads here from the stop before; null at the first, and where it is not known.</param>
/// <param name="Edge">That hop's edge in the signal graph; −1 where there is none.</param>
/// <param name="IsFilledIn">Whether the plan does not write the point: there was only one way to go.</param>
public readonly record struct WayStop(GraphPoint Point, Hop? By, int Edge, bool IsFilledIn);

/// <summary>What a mix, a choice, a bundle or a feed that goes on from another is made of: one element of it.</summary>
/// <param name="Way">The feed it comes from; null where it is a socket.</param>
/// <param name="Element">Which of that feed's elements.</param>
/// <param name="Point">Where it is taken; unknown where that could not be made out.</param>
/// <param name="Places">Which elements of the taker it goes to.</param>
/// <param name="Tap">Where in a strip it is taken; unstated where it leaves no strip, or nothing says.</param>
/// <param name="Gain">The gain written for it, in dB; null where it is set by ear.</param>
/// <param name="Alternatives">What it is one of several alternatives of, if it is: at most one of those of the same object sounds at a time.</param>
public sealed record WayMember(FeedWay? Way, int Element, GraphPoint Point, ImmutableArray<int> Places, Tap Tap, double? Gain, object? Alternatives);

/// <summary>
/// A feed, bundle or insert in acts in which nothing about it differs: its signals, the points each passes, where each
/// ends, what they are made of, and what was written for them on the way down. Read-only.
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

    /// <summary>Its place among the plan's ways: feeds and bundles in the order of the files, inserts behind.</summary>
    public int Number { get; }

    /// <summary>The feed or bundle; null for an insert.</summary>
    public Symbol? Symbol => binding.Symbol;

    /// <summary>The feed, if it is one.</summary>
    public FeedSymbol? Feed => binding.Symbol as FeedSymbol;

    /// <summary>The feed's or bundle's name; an insert's label or, without one, its strip.</summary>
    public string Name { get; }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts => variant.Acts;

    /// <summary>Where the plan declares it.</summary>
    public Place Place => place ??= all.PlaceOf(binding.Symbol?.Anchor ?? Anchors.OpenerOf(binding.Statement));

    /// <summary>Its signals.</summary>
    public Elements Elements => variant.Elements;

    /// <summary>How many signals it has.</summary>
    public int Count => variant.Elements.Count;

    /// <summary>Whether nothing is known of it, the number of its signals included.</summary>
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

    /// <summary>The first of its edges in the signal graph; they are numbered on from there.</summary>
    public int FirstEdge { get; }

    /// <summary>How many edges it has.</summary>
    public int EdgeCount => variant.Edges.Length;

    /// <summary>What it is made of, in the order written: members of a sum or bundle, alternatives, or the signals it goes on from.</summary>
    public ImmutableArray<WayMember> Members => members.IsDefault ? members = all.MembersOf(this, binding, variant) : members;

    /// <summary>What the plan calls an element: <c>lead</c>, <c>tom[2]</c>.</summary>
    public string NameOf(int element) => Elements.IsIndexed ? $"{Name}[{Elements.NameOf(element)}]" : Name;

    /// <summary>
    /// The label of an element: its own, or that of the feed it goes on from; null where nobody wrote one. One label for
    /// several elements gets their names behind it.
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

    /// <summary>What people call an element: its label or, without one, its name.</summary>
    public string TitleOf(int element) => LabelOf(element) ?? NameOf(element);

    /// <summary>Whether an element is not there in these acts.</summary>
    public bool IsAbsent(int element) => element < variant.Ends.Length && variant.Ends[element].IsAbsent;

    /// <summary>Whether some hop of an element could not be made, so that its way is not known in full.</summary>
    public bool IsBroken(int element) => variant.IsUnknown || element >= variant.Ends.Length || (!variant.Ends[element].IsAbsent && variant.IsBroken(element));

    /// <summary>Where an element ends: one point, several where it is one of alternatives, none where that is not known.</summary>
    public ImmutableArray<GraphPoint> EndsOf(int element)
    {
        if (element >= variant.Ends.Length) return [];
        var end = variant.Ends[element];
        var others = (end.Others ?? []).Select(all.Rig.PointAt);
        return end.IsUnknown ? [.. others] : [all.Rig.PointOf(end.Node), .. others];
    }

    /// <summary>The points an element passes, in their order; those that could not be made out are left out.</summary>
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

    /// <summary>A setting of an element that follows the signal down: <c>mic</c>, <c>stand</c> or <c>level</c>, from where it was written; null where it was not.</summary>
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

    /// <summary>Whether an element's source is to get phantom power.</summary>
    public bool HasPhantom(int element) => Inherited("phantom", element) is not null;

    /// <summary>What is written beside it; holds for this feed alone.</summary>
    public string? Note => Feed?.Settings["note"]?.Text;

    /// <summary>A delay that is set on purpose, in seconds; holds for this feed alone.</summary>
    public double? Delay => Feed?.Settings["delay"]?.Value?.Value;

    /// <summary>The unit that owns a shared preamplifier's gain and phantom power, if written.</summary>
    public string? GainBy => Feed?.Settings["gain_by"]?.Text;

    /// <summary>Whether the audience hears where it ends.</summary>
    public bool IsPublic => Feed?.IsPublic == true;

    /// <summary>Whether sound that the audience must never hear (click, cue, talkback) is in an element, through whatever mix.</summary>
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

    /// <summary>The edge from one node to the next; −1 where there is none.</summary>
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
        if (Feed is not { Labels: { IsEmpty: false } labels }) return null; // a bundle's members say more than its own label
        if (labels.Length > 1) return element < labels.Length ? labels[element] : null;
        return Count == 1 ? labels[0] : $"{labels[0]} {Elements.NameOf(element)}";
    }

    /// <summary>What an element goes on from; null for a mix, which inherits nothing, and at the start.</summary>
    private (FeedWay, int)? Before(int element)
    {
        if (Origin is not (WayOrigin.Feed or WayOrigin.Either or WayOrigin.Bundle)) return null;
        foreach (var member in Members)
            if (member.Way is { } way && member.Places.Contains(element)) return (way, member.Element);
        return null;
    }
}
