using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Queries;

/// <summary>The hops of a feed or an insert as written, and their binding.</summary>
/// <param name="Name">The name to show.</param>
/// <param name="Hops">The written hops, without the start.</param>
/// <param name="FirstStop">The first stop that can belong to the first of them; filled-in stops come before their written hop.</param>
/// <param name="Binding">The binding.</param>
internal sealed record WrittenWay(string Name, ImmutableArray<PathExpression> Hops, int FirstStop, FeedBinding Binding)
{
    /// <summary>The feed; null for an insert.</summary>
    public FeedSymbol? Feed => Binding.Symbol as FeedSymbol;

    /// <summary>The written way of a statement; null if it has none.</summary>
    public static WrittenWay? At(PlanQueries queries, SyntaxTree tree, int index)
    {
        var statement = tree[index];
        if (statement.Kind is not (NodeKind.Feed or NodeKind.Insert) || queries.BindingOf(statement) is not { } binding) return null;
        // A sum has no single starting point, so its stops begin with its first hop; an insert starts at its strip.
        if (binding.Symbol is FeedSymbol feed) return new WrittenWay(feed.Name, [.. feed.Hops], feed.Origin is SumOrigin ? 0 : 1, binding);
        return InsertStatement.Read(queries.FileOf(tree), statement) is { } insert
            ? new WrittenWay($"the insert at {statement.Text.Slice(insert.Point.Span.Start, insert.Point.Span.Length)}", insert.Hops.Insert(0, insert.Send), 1, binding)
            : null;
    }

    /// <summary>The number of stops up to the last written hop: an insert returns to its strip, which is not written again.</summary>
    public int StopsOf(FeedVariant variant) => Feed is null ? variant.StopCount - 1 : variant.StopCount;
}
