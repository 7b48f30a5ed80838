using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Queries;

/// <summary>The way that a feed or an insert writes, and what became of it.</summary>
/// <param name="Name">What to call it.</param>
/// <param name="Hops">The hops as they are written, behind where it starts.</param>
/// <param name="FirstStop">The stop that the first of them may be; filled-in ones stand ahead of theirs.</param>
/// <param name="Binding">What became of it.</param>
internal sealed record WrittenWay(string Name, ImmutableArray<PathExpression> Hops, int FirstStop, FeedBinding Binding)
{
    /// <summary>The feed; null of an insert.</summary>
    public FeedSymbol? Feed => Binding.Symbol as FeedSymbol;

    /// <summary>The way that a statement writes; null where it writes none.</summary>
    public static WrittenWay? At(PlanQueries queries, SyntaxTree tree, int index)
    {
        var statement = tree[index];
        if (statement.Kind is not (NodeKind.Feed or NodeKind.Insert) || queries.BindingOf(statement) is not { } binding) return null;
        // A sum starts at many places, and so at none; an insert starts at its strip.
        if (binding.Symbol is FeedSymbol feed) return new WrittenWay(feed.Name, [.. feed.Hops], feed.Origin is SumOrigin ? 0 : 1, binding);
        return InsertStatement.Read(queries.FileOf(tree), statement) is { } insert
            ? new WrittenWay($"the insert at {statement.Text.Slice(insert.Point.Span.Start, insert.Point.Span.Length)}", insert.Hops.Insert(0, insert.Send), 1, binding)
            : null;
    }

    /// <summary>How many stops there are up to the last written hop: an insert comes back to its strip, which is not written again.</summary>
    public int StopsOf(FeedVariant variant) => Feed is null ? variant.StopCount - 1 : variant.StopCount;
}
