using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>What a feed is in acts in which nothing about it differs.</summary>
internal sealed class FeedVariant(ActSet acts, Elements elements)
{
    public ActSet Acts { get; } = acts;

    public Elements Elements { get; } = elements;

    /// <summary>Whether nothing is known of it, its width included.</summary>
    public bool IsUnknown { get; init; }

    /// <summary>Where each element ends.</summary>
    public Ends Ends { get; set; }

    /// <summary>What each element is called where the feed is a bundle: its own name, or its feed's.</summary>
    public string[]? MemberNames { get; set; }

    /// <summary>Of a bundle, the feed that each element belongs to, and which of its elements it is; a default where it belongs to none.</summary>
    public (FeedVariant? Feed, int Element)[]? Members { get; set; }

    /// <summary>The points passed, hop by hop, filled-in ones included; each row has a point per element, unknown where that element does not pass there.</summary>
    public IReadOnlyList<GraphPoint[]> Stops { get; set; } = [];

    /// <summary>Which of the stops are filled in; null where none is.</summary>
    public HashSet<int>? FilledInStops { get; set; }

    public Edge[] Edges { get; set; } = [];

    /// <summary>Whether some hop of an element could not be made, so that its way is not known in full.</summary>
    public bool IsBroken(int element) =>
        Ends[element].Point.IsUnknown || (UnknownInto is { } unknown && Stops.Any(s => !s[element].IsUnknown && unknown.Contains(s[element].Node)));

    /// <summary>Whether it starts at a socket, strip or bus, and not where another feed is.</summary>
    public bool StartsAtSocket { get; set; }

    /// <summary>Nodes that something unknown leads into.</summary>
    public List<int>? UnknownInto { get; set; }
}

/// <summary>A feed, bundle or insert with its ways worked out, and what was found on the way. Kept from one compilation to the next.</summary>
internal sealed class FeedBinding
{
    public required Foundation Foundation { get; init; }

    /// <summary>The statement that was bound.</summary>
    public required Statement Statement { get; init; }

    /// <summary>The feed or bundle; null for an insert.</summary>
    public Symbol? Symbol { get; init; }

    /// <summary>The acts in which it exists.</summary>
    public ActSet Acts { get; init; }

    public ImmutableArray<FeedVariant> Variants { get; init; } = [];

    public IReadOnlyList<Draft> Findings { get; init; } = [];

    /// <summary>Those of them that concern the acts it names; found when it was read, and kept while it is not read anew. Null if there are none.</summary>
    public IReadOnlyList<Draft>? FindingsOfActs { get; init; }

    /// <summary>The paths that begin with a feed, a bundle or an unknown name, and the bindings these had: while they stay, this stays.</summary>
    public ImmutableArray<Dependency> Dependencies { get; init; } = [];

    public FeedVariant? In(ActSet acts)
    {
        foreach (var variant in Variants)
            if (variant.Acts.Meets(acts)) return variant;
        return null;
    }
}

/// <summary>A path that does not begin with a unit, and what its name stood for.</summary>
internal readonly record struct Dependency(PathExpression Path, ImmutableArray<FeedBinding?> Bindings);
