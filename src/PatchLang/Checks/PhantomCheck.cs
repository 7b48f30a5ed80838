using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Where phantom power comes from and what it meets. A feed that asks for it gets it from the first input on its way that
/// can supply it; from there it flows back up the cables, through legs that pass it, to the source. That an output, a
/// ribbon microphone or a second supply must not meet it is common practice, no source. Gives PL1301 to PL1303.
/// </summary>
internal static class PhantomCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var supplies = new Dictionary<int, List<(int Supply, FeedSymbol Feed, ActSet Acts)>>();
        var powered = new HashSet<int>();
        foreach (var binding in plan.Signals.Bindings)
        {
            if (binding.Symbol is not FeedSymbol { HasPhantom: true } feed) continue;
            var at = feed.At(feed.Settings["phantom"]!.Span);
            var isSaid = false;
            foreach (var variant in binding.Variants)
                for (var element = 0; element < variant.Ends.Length && !isSaid; element++)
                    isSaid = Follow(plan, feed, variant, element, at, supplies, powered, bag);
        }
        var graph = plan.Graph;
        var isMissing = new HashSet<Hop>();
        for (var edge = 0; edge < graph.EdgeCount; edge++)
        {
            var hop = graph.HopOf(edge);
            if (!hop.IsLink || isMissing.Contains(hop)) continue;
            var point = plan.Rig.PointOf(graph.FromOf(edge));
            if (!point.Socket.Settings.Has("needs_phantom") || powered.Contains(point.Node) || graph.BindingOf(edge).Symbol is FeedSymbol { HasPhantom: true }) continue;
            isMissing.Add(hop);
            bag.Add(SafetyFindings.NobodyAsks(point.ToString()), plan.AnchorOf(edge));
        }
    }

    /// <summary>Follows one element of a feed to its supply, and from there back to its source. Whether something was said.</summary>
    private static bool Follow(
        Plan plan, FeedSymbol feed, FeedVariant variant, int element, Anchor at,
        Dictionary<int, List<(int Supply, FeedSymbol Feed, ActSet Acts)>> supplies, HashSet<int> powered, DraftBag bag)
    {
        var supply = default(GraphPoint);
        foreach (var stop in variant.Stops)
        {
            var point = stop[element];
            if (point.IsUnknown) return false;
            if (point.Side != Side.In || !point.Socket.Settings.Has("phantom")) continue;
            supply = point;
            break;
        }
        var start = variant.Stops.Count > 0 ? variant.Stops[0][element] : default;
        if (start.IsUnknown) return false;
        if (supply.IsUnknown)
        {
            bag.Add(SafetyFindings.NothingSupplies(feed.Name, start.ToString()), at);
            return true;
        }
        var open = new Stack<int>([supply.Node]);
        var seen = new HashSet<int>(open);
        var hasReached = false;
        GraphPoint blocked = default;
        while (open.TryPop(out var node))
        {
            powered.Add(node);
            var isSource = true;
            foreach (var edge in plan.Graph.Into(node))
            {
                if (!plan.Graph.ActsOf(edge).Meets(variant.Acts)) continue;
                var from = plan.Rig.PointOf(plan.Graph.FromOf(edge));
                if (plan.Graph.HopOf(edge).IsLink)
                {
                    isSource = false;
                    if (!seen.Add(from.Node)) continue;
                    powered.Add(from.Node);
                    if (from.Socket.Settings.Has("ribbon"))
                    {
                        bag.Add(SafetyFindings.IntoRibbon(from.ToString(), supply.ToString()), at, plan.AnchorOf(edge), "the way it gets there");
                        return true;
                    }
                    if (from.Socket.Settings.Has("needs_phantom"))
                    {
                        hasReached = true;
                        Supplied(from.Node);
                    }
                    else if (from.Socket.Settings.Has("passes_phantom"))
                        foreach (var inner in plan.Graph.Into(from.Node))
                            if (plan.Graph.ActsOf(inner).Meets(variant.Acts) && seen.Add(plan.Graph.FromOf(inner))) open.Push(plan.Graph.FromOf(inner));
                            else continue;
                    else if (from.Socket.Settings.Has("isolated") || IsPassive(from)) blocked = from;
                    else
                    {
                        bag.Add(SafetyFindings.IntoOutput(from.ToString(), supply.ToString()), at, plan.AnchorOf(edge), "the way it gets there");
                        return true;
                    }
                }
            }
            if (!isSource || plan.Rig.PointOf(node).Side != Side.In) continue;
            hasReached = true;
            if (Supplied(node)) return true;
        }
        if (hasReached || blocked.IsUnknown) return false;
        bag.Add(SafetyFindings.Blocked(feed.Name, supply.ToString(), blocked.ToString()), at);
        return true;

        bool Supplied(int source)
        {
            if (!supplies.TryGetValue(source, out var list)) supplies.Add(source, list = []);
            var other = list.Find(s => s.Supply != supply.Node && s.Acts.Meets(variant.Acts));
            list.Add((supply.Node, feed, variant.Acts));
            if (other.Feed is null) return false;
            var (first, second) = plan.Compare(other.Feed.Anchor, feed.Anchor) < 0 ? (other.Feed, feed) : (feed, other.Feed);
            bag.Add(
                SafetyFindings.SuppliedTwice(plan.Rig.PointOf(source).ToString(), plan.Rig.PointOf(other.Supply).ToString(), supply.ToString(), plan.During(other.Acts & variant.Acts)),
                second.At(second.Settings["phantom"]!.Span), first.At(first.Settings["phantom"]!.Span), "the other supply");
            return true;
        }
    }

    /// <summary>Whether an output is a leg of gear without electronics of its own, which blocks phantom power and comes to no harm.</summary>
    private static bool IsPassive(GraphPoint point)
    {
        var model = point.Device.Outermost.Model;
        if (!model.Clocks.IsEmpty || model.Sockets.Any(s => s.IsInner || s.Format is { IsDigital: true })) return false;
        return model.Routes.Any(r => r.Sort != RouteSort.Free && r.To.Any(t => t.Socket == point.Socket || t.IsAny));
    }
}
