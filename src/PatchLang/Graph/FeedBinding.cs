using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>
/// A feed, bundle or insert with its ways worked out, and what was found on the way. Kept from one compilation to the next;
/// what few have is kept apart.
/// </summary>
internal sealed class FeedBinding
{
    private Particulars? particulars;

    /// <summary>One of a feed or bundle.</summary>
    public FeedBinding(Foundation foundation, Symbol symbol) => (Foundation, Symbol) = (foundation, symbol);

    /// <summary>One of an insert.</summary>
    public FeedBinding(Foundation foundation, Statement insert)
    {
        Foundation = foundation;
        Own.Statement = insert;
    }

    public Foundation Foundation { get; }

    /// <summary>The feed or bundle; null for an insert.</summary>
    public Symbol? Symbol { get; }

    /// <summary>The statement that was bound.</summary>
    public Statement Statement => Symbol?.Statement ?? particulars!.Statement!;

    /// <summary>The acts in which it exists.</summary>
    public ActSet Acts
    {
        get
        {
            var acts = ActSet.None;
            foreach (var variant in Variants) acts |= variant.Acts;
            return acts;
        }
    }

    public Variants Variants { get; init; }

    /// <summary>How many points it counts for, by the rules of <see cref="PointLimit"/>.</summary>
    public int Points
    {
        get
        {
            var points = 0;
            foreach (var variant in Variants) points += variant.Points;
            return points;
        }
    }

    public IReadOnlyList<Draft> Findings
    {
        get => particulars?.Findings ?? [];
        init
        {
            if (value.Count > 0) Own.Findings = value;
        }
    }

    /// <summary>Those of them that concern the acts it names; found when it was read, and kept while it is not read anew. Null if there are none.</summary>
    public IReadOnlyList<Draft>? FindingsOfActs
    {
        get => particulars?.FindingsOfActs;
        init
        {
            if (value is not null) Own.FindingsOfActs = value;
        }
    }

    /// <summary>The paths that begin with a feed, a bundle or an unknown name, and the bindings these had: while they stay, this stays.</summary>
    public ImmutableArray<Dependency> Dependencies
    {
        get => particulars?.Dependencies ?? [];
        init
        {
            if (!value.IsEmpty) Own.Dependencies = value;
        }
    }

    private Particulars Own => particulars ??= new Particulars();

    public FeedVariant? In(ActSet acts)
    {
        foreach (var variant in Variants)
            if (variant.Acts.Meets(acts)) return variant;
        return null;
    }

    /// <summary>What most bindings lack.</summary>
    private sealed class Particulars
    {
        public Statement? Statement { get; set; }

        public IReadOnlyList<Draft> Findings { get; set; } = [];

        public IReadOnlyList<Draft>? FindingsOfActs { get; set; }

        public ImmutableArray<Dependency> Dependencies { get; set; } = [];
    }
}

/// <summary>A path that does not begin with a unit, and what its name stood for.</summary>
internal readonly record struct Dependency(PathExpression Path, ImmutableArray<FeedBinding?> Bindings);
