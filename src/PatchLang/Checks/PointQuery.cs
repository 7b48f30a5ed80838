using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>The nodes of the signal graph that a point or feed, written as in a plan, stands for.</summary>
/// <param name="Nodes">The nodes: for a feed, all that carry its own sound; for a port, both sides. Empty if there is a problem.</param>
/// <param name="Feed">The feed, if it is one.</param>
/// <param name="Problem">Why there are no nodes, in one sentence; null if there is no problem.</param>
public sealed record PointQuery(ImmutableArray<int> Nodes, FeedSymbol? Feed, string? Problem)
{
    /// <summary>The nodes of feeds and bundles, whatever file declares them.</summary>
    internal static PointQuery Of(Plan plan, ImmutableArray<Symbol> symbols)
    {
        var nodes = new HashSet<int>();
        foreach (var symbol in symbols)
            foreach (var acts in symbol.Acts.Each)
                foreach (var set in Heard.SetsOf(plan, symbol, acts)) nodes.UnionWith(set);
        return new PointQuery([.. nodes.Order()], symbols.OfType<FeedSymbol>().FirstOrDefault(), null);
    }

    internal static PointQuery Ask(Plan plan, string written)
    {
        // The parser reads only statements, so the path is parsed as part of one.
        var tree = SyntaxTree.Parse(new SourceText(plan.Files.Files[0].Path, $"reserve {written} \"\""));
        if (tree.Count != 1 || ReserveStatement.Read(plan.Files.Files[0], tree[0]) is not { } statement)
            return new PointQuery([], null, $"`{written}` is neither a point such as `desk.ch[5]` nor the name of a feed");
        var bag = new DraftBag();
        var nodes = new HashSet<int>();
        FeedSymbol? feed = null;
        foreach (var acts in plan.Rig.AllActs.Each)
        {
            if (!bag.IsEmpty) break;
            var start = plan.Signals.Paths.Start(statement.Point, statement.File, statement.Statement, acts, bag);
            if (start.Symbol is UnitSymbol)
            {
                if (plan.Signals.Paths.Socket(statement.Point, start, statement.Statement, bag) is not { } target) continue;
                foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
                    for (var i = 0; target.Socket.CountOn(side) > 0 && i < target.WidthOn(side); i++)
                    {
                        var (device, channel) = target.At(i, side);
                        if (channel < target.Socket.CountOn(side)) nodes.Add(device.NodeOf(target.Socket, side, channel));
                    }
            }
            else if (Heard.SetsOf(plan, statement.Point, statement.File, statement.Statement, acts, bag) is { } sets)
            {
                feed = start.Symbol as FeedSymbol ?? feed;
                foreach (var set in sets) nodes.UnionWith(set);
            }
        }
        return bag.IsEmpty ? new PointQuery([.. nodes.Order()], feed, null) : new PointQuery([], null, bag.Drafts[0].Message.Text);
    }
}
