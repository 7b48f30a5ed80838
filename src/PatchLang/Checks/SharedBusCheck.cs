using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>
/// A bus sums all its sources into one mix. If two feeds that are sums are mixed on the same bus and then go on to different places, each
/// place gets both mixes; the same if they go on to one place and each has a label, as a part of a mix has none. Gives PL0319.
/// </summary>
internal static class SharedBusCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var found = new Dictionary<(Statement, Statement), (int Node, int First, int Second, ActSet Acts)>();
        var firsts = new List<int>(); // the first mix of each set of acts
        foreach (var node in graph.Meetings)
        {
            if (plan.Rig.SocketOf(node).Sort != SocketSort.Bus) continue;
            firsts.Clear();
            foreach (var edge in graph.Into(node))
            {
                if (!IsMix(edge)) continue;
                var isFirst = true;
                foreach (var first in firsts)
                {
                    isFirst &= graph.ActsOf(first) != graph.ActsOf(edge);
                    if (graph.OwnerOf(first) != graph.OwnerOf(edge) && graph.ActsOf(first).Meets(graph.ActsOf(edge)) && AreTwo(node, first, edge)) Add(node, first, edge);
                }
                if (isFirst) firsts.Add(edge);
            }
        }
        foreach (var (node, first, second, acts) in found.Values)
            bag.Add(new Draft(ChannelFindings.TwoMixes(plan.Rig.PointOf(node).ToString(), graph.FeedOf(first)!.Name, graph.FeedOf(second)!.Name, plan.During(acts)), plan.AnchorOf(second))
            {
                Related = [(plan.AnchorOf(first), "the other mix")],
                Acts = acts,
                FollowsFrom = [Foundation.UnknownActs],
            });

        bool IsMix(int edge) => graph.FeedOf(edge)?.Origin is SumOrigin;

        // Whether both feeds go on from the bus as mixes of their own: to different places, or each under a label.
        bool AreTwo(int node, int first, int second)
        {
            var (owner, other) = (graph.OwnerOf(first), graph.OwnerOf(second));
            var (goesOn, elsewhere, meets) = (false, false, false);
            foreach (var edge in graph.OutOf(node))
                if (graph.OwnerOf(edge) == owner) goesOn = true;
            foreach (var edge in graph.OutOf(node))
            {
                if (graph.OwnerOf(edge) != other) continue;
                elsewhere = true;
                foreach (var its in graph.OutOf(node))
                    if (graph.OwnerOf(its) == owner && graph.ToOf(its) == graph.ToOf(edge)) meets = true;
            }
            return goesOn && elsewhere && (!meets || (IsLabelled(first) && IsLabelled(second)));
        }

        bool IsLabelled(int edge) => graph.FeedOf(edge)!.Labels.Length > 0;

        void Add(int node, int first, int second)
        {
            var feeds = (graph.BindingOf(first).Statement, graph.BindingOf(second).Statement);
            var acts = graph.ActsOf(first) & graph.ActsOf(second);
            found[feeds] = found.TryGetValue(feeds, out var known) ? known with { Acts = known.Acts | acts } : (node, first, second, acts);
        }
    }
}
