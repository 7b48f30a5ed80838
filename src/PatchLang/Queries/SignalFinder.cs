using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Finds the feed or bundle that a user refers to; several symbols if it is declared separately for different acts.</summary>
public static class SignalFinder
{
    /// <summary>The signal named at a position, else the one declared by the statement there; empty if there is neither.</summary>
    public static ImmutableArray<Symbol> At(PlanQueries queries, SyntaxTree tree, int offset)
    {
        if (queries.At(tree, offset)?.Subject is SymbolSubject { Symbols: [FeedSymbol or BundleSymbol, ..] named }) return named;
        return StatementAt(tree, offset) is { } statement && queries.DeclaredAt(new Place(tree.Source, statement)) is (FeedSymbol or BundleSymbol) and var declared ? [declared] : [];
    }

    /// <summary>The signal with a name; if several files have one, the first in the order of the plan.</summary>
    public static ImmutableArray<Symbol> Named(PlanQueries queries, string name)
    {
        var signals = queries.Plan.Signals.Bindings;
        return signals.FirstOrDefault(b => b.Symbol!.Name == name)?.Symbol is { } first ? [.. signals.Where(b => b.Symbol!.Name == name && b.Symbol.File == first.File).Select(b => b.Symbol!)] : [];
    }

    /// <summary>The nodes of its own sound in the signal graph.</summary>
    public static PointQuery PointsOf(PlanQueries queries, ImmutableArray<Symbol> symbols) => PointQuery.Of(queries.Plan, symbols);

    /// <summary>The span of the statement at a position, which may also be on the rest of its last line; null between statements.</summary>
    public static TextSpan? StatementAt(SyntaxTree tree, int offset)
    {
        if (tree.IndexAt(offset) is not (>= 0 and var index)) return null;
        var span = PlanQueries.SpanOf(tree[index]).Moved(tree.StartOf(index));
        return offset <= span.End || tree.Source.PositionOf(offset).Line == tree.Source.PositionOf(span.End).Line ? span : null;
    }
}
