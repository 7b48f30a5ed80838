using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>
/// A bound feed, bundle or insert, with the findings made while binding it. It is kept from one compilation to the next.
/// Rarely used data is in a separate object, to save memory.
/// </summary>
internal sealed class FeedBinding
{
    private Particulars? particulars;

    /// <summary>Creates the binding of a feed or bundle.</summary>
    public FeedBinding(Foundation foundation, Symbol symbol) => (Foundation, Symbol) = (foundation, symbol);

    /// <summary>Creates the binding of an insert.</summary>
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

    /// <summary>
    /// The findings about the acts that the statement names, made when it was
    /// read, and kept as long as it is not read again. Null if there are none.
    /// </summary>
    public IReadOnlyList<Draft>? FindingsOfActs
    {
        get => particulars?.FindingsOfActs;
        init
        {
            if (value is not null) Own.FindingsOfActs = value;
        }
    }

    /// <summary>
    /// The paths that begin with a feed, a bundle or an unknown name, with their bindings: the binding is valid as long as those are.
    /// </summary>
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

    /// <summary>Data that few bindings have.</summary>
    private sealed class Particulars
    {
        public Statement? Statement { get; set; }

        public IReadOnlyList<Draft> Findings { get; set; } = [];

        public IReadOnlyList<Draft>? FindingsOfActs { get; set; }

        public ImmutableArray<Dependency> Dependencies { get; set; } = [];
    }
}

/// <summary>A path that does not begin with a unit, and the bindings of its name.</summary>
internal readonly record struct Dependency(PathExpression Path, ImmutableArray<FeedBinding?> Bindings);
