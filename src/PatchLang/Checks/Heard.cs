using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>What a name stands for when the question is who hears it: nodes of the signal graph.</summary>
internal static class Heard
{
    /// <summary>
    /// The nodes at which a feed's own sound is, element by element: of a feed that starts at a socket all that it
    /// passes; of one that goes on from others what it passes behind them.
    /// </summary>
    public static IEnumerable<HashSet<int>> NodesOf(FeedSymbol feed, FeedVariant variant)
    {
        var startsAtSocket = feed.Origin is { Tapped: not null } && variant.StopCount > 0 && variant.StartsAtSocket;
        for (var element = 0; element < variant.Ends.Length; element++)
        {
            var nodes = new HashSet<int>();
            for (var stop = feed.Origin is SumOrigin || startsAtSocket ? 0 : 1; stop < variant.StopCount; stop++)
                if (variant.NodeAt(stop, element) is >= 0 and var node) nodes.Add(node);
            if (nodes.Count == 0)
            {
                var end = variant.Ends[element];
                if (!end.IsUnknown) nodes.Add(end.Node);
                foreach (var other in end.Others ?? [])
                    if (other >= 0) nodes.Add(other);
            }
            yield return nodes;
        }
    }

    /// <summary>What a path names, as sets of nodes: each must be heard by itself. Null where it can't be resolved, or is absent in these acts.</summary>
    public static List<HashSet<int>>? SetsOf(Plan plan, PathExpression path, PlanFile file, Statement statement, ActSet acts, DraftBag bag)
    {
        var start = plan.Signals.Paths.Start(path, file, statement, acts, bag);
        switch (start.Symbol)
        {
            case FeedSymbol feed:
                if (plan.Signals.BindingOf(feed)?.In(acts) is not { } variant) return null;
                var all = NodesOf(feed, variant).ToList();
                if (path.Steps[start.Steps - 1].Index is not { } index) return all;
                return Indexes.Choose(index, variant.Elements, feed, statement, bag)?.ConvertAll(c => all[c]);
            case BundleSymbol bundle:
                // One that holds itself has its finding, and nobody knows what is in it.
                return plan.Signals.BindingOf(bundle)?.In(acts) is { IsUnknown: true } ? null : [.. SetsOf(plan, bundle, acts)];
            case UnitSymbol:
                return plan.Signals.Paths.Socket(path, start, statement, bag) is { } target ? [.. PointsOf(plan, target).Select(n => new HashSet<int> { n })] : null;
            default:
                return null;
        }
    }

    /// <summary>The same of a whole feed or bundle; nothing where it is absent in these acts.</summary>
    public static IEnumerable<HashSet<int>> SetsOf(Plan plan, Symbol symbol, ActSet acts) => symbol switch
    {
        FeedSymbol feed => plan.Signals.BindingOf(feed)?.In(acts) is { } variant ? NodesOf(feed, variant) : [],
        BundleSymbol bundle => SetsIn(plan, bundle, acts),
        _ => [],
    };

    /// <summary>The same of a bundle: bundles lie in bundles, however deep, and what is in one of them twice is one.</summary>
    private static IEnumerable<HashSet<int>> SetsIn(Plan plan, BundleSymbol bundle, ActSet acts)
    {
        var seen = new HashSet<Symbol>(ReferenceEqualityComparer.Instance) { bundle };
        var open = new Stack<(BundleSymbol Bundle, int Next)>([(bundle, 0)]);
        while (open.TryPop(out var at))
        {
            if (at.Next == at.Bundle.Members.Length) continue;
            open.Push(at with { Next = at.Next + 1 });
            var path = at.Bundle.Members[at.Next].Path;
            if (plan.Signals.Paths.Start(path, at.Bundle.File, at.Bundle.Statement, acts, new DraftBag()).Symbol is BundleSymbol inner)
            {
                if (seen.Add(inner) && plan.Signals.BindingOf(inner)?.In(acts) is not { IsUnknown: true }) open.Push((inner, 0));
                continue;
            }
            foreach (var set in SetsOf(plan, path, at.Bundle.File, at.Bundle.Statement, acts, new DraftBag()) ?? []) yield return set;
        }
    }

    /// <summary>A feed as a listener is where it ends; a socket is itself. Null where there is nothing.</summary>
    public static HashSet<int>? Last(Plan plan, HashSet<int> nodes)
    {
        if (nodes.Count <= 1) return nodes.Count == 0 ? null : nodes;
        var last = nodes.Where(n => !GoesOn(n)).ToHashSet();
        return last.Count == 0 ? nodes : last;

        bool GoesOn(int node)
        {
            foreach (var edge in plan.Graph.OutOf(node))
                if (nodes.Contains(plan.Graph.ToOf(edge))) return true;
            return false;
        }
    }

    /// <summary>The nodes of a target, on the side that sound is at: where it goes out, if it does; else where it comes in.</summary>
    public static IEnumerable<int> PointsOf(Plan plan, Target target)
    {
        foreach (var side in (ReadOnlySpan<Side>)[Side.Inner, Side.Out, Side.In])
        {
            if (!target.Socket.Has(side) || target.Socket.CountOn(side) == 0) continue;
            var nodes = new List<int>();
            for (var i = 0; i < target.WidthOn(side); i++)
            {
                var (device, channel) = target.At(i, side);
                if (channel < target.Socket.CountOn(side)) nodes.Add(device.NodeOf(target.Socket, side, channel));
            }
            // Of a two-way port, the side that is used.
            if (side != Side.Out || !target.Socket.Has(Side.In) || nodes.Exists(n => plan.Graph.Into(n).Length > 0)) return nodes;
        }
        return [];
    }
}
