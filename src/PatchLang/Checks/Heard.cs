using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>The nodes of the signal graph that a name stands for in a promise of who hears what.</summary>
internal static class Heard
{
    /// <summary>
    /// The nodes that carry a feed's own sound, element by element. For a feed that starts at a socket these are all nodes it passes; for
    /// one that continues other feeds, the nodes after theirs.
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

    /// <summary>
    /// The nodes that a path names, as sets each of which must be heard. Null where the path can't be resolved, or is absent in these acts.
    /// </summary>
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
                // A bundle that contains itself has its finding, and its content is unknown.
                return plan.Signals.BindingOf(bundle)?.In(acts) is { IsUnknown: true } ? null : [.. SetsOf(plan, bundle, acts)];
            case UnitSymbol:
                return plan.Signals.Paths.Socket(path, start, statement, bag) is { } target ? [.. PointsOf(plan, target).Select(n => new HashSet<int> { n })] : null;
            default:
                return null;
        }
    }

    /// <summary>The sets of a whole feed or bundle; none where it is absent in these acts.</summary>
    public static IEnumerable<HashSet<int>> SetsOf(Plan plan, Symbol symbol, ActSet acts) => symbol switch
    {
        FeedSymbol feed => plan.Signals.BindingOf(feed)?.In(acts) is { } variant ? NodesOf(feed, variant) : [],
        BundleSymbol bundle => SetsIn(plan, bundle, acts),
        _ => [],
    };

    /// <summary>The sets of a bundle, including those of nested bundles; what occurs more than once is taken once.</summary>
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

    /// <summary>The nodes at which a listener listens: the ends of a feed, or the socket itself. Null where there are none.</summary>
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

    /// <summary>The nodes of a target on the side where its sound is: the output side if it has one, else the input side.</summary>
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
            // For a two-way port, the side that is used.
            if (side != Side.Out || !target.Socket.Has(Side.In) || nodes.Exists(n => plan.Graph.Into(n).Length > 0)) return nodes;
        }
        return [];
    }
}
