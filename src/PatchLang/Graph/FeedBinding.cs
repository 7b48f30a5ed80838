using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Graph;

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
