using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>
/// Two feeds with different labels that take the same source to the same strip: a line was copied, and its numbers were not changed, or an act
/// was forgotten. On different strips one source may well have two labels. Gives PL0320.
/// </summary>
internal static class SharedStripCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var found = new Dictionary<(Statement, Statement), (int Node, int First, int Second, ActSet Acts)>();
        var labelled = new List<int>(); // the first edge of each source, label and set of acts
        foreach (var node in graph.Meetings)
        {
            if (plan.Rig.SocketOf(node).Sort != SocketSort.Strip) continue;
            labelled.Clear();
            foreach (var edge in graph.Into(node))
            {
                if (graph.HopOf(edge) is { IsInsert: true } or { Alternatives: not null } || graph.FeedOf(edge) is not { Labels.IsEmpty: false } feed) continue;
                var isKnown = false;
                foreach (var first in labelled)
                {
                    if (graph.FromOf(first) != graph.FromOf(edge)) continue;
                    var isSame = graph.FeedOf(first)!.Labels.AsSpan().SequenceEqual(feed.Labels.AsSpan());
                    isKnown |= isSame && graph.ActsOf(first) == graph.ActsOf(edge);
                    if (!isSame && graph.ActsOf(first).Meets(graph.ActsOf(edge))) Add(node, first, edge);
                }
                if (!isKnown) labelled.Add(edge);
            }
        }
        foreach (var (node, first, second, acts) in found.Values)
        {
            var (one, other) = (graph.FeedOf(first)!, graph.FeedOf(second)!);
            bag.Add(new Draft(
                ChannelFindings.TwoLabels(plan.Rig.PointOf(node).ToString(), plan.Rig.PointOf(graph.FromOf(first)).ToString(), one.Name, one.Labels[0], other.Name, other.Labels[0], plan.During(acts)),
                plan.AnchorOf(second))
            {
                Related = [(plan.AnchorOf(first), "the other label")],
                Acts = acts,
                FollowsFrom = [Foundation.UnknownActs, FeedBinder.TwoSourcesAt(plan.Rig.PointOf(graph.FromOf(first)))],
            });
        }

        void Add(int node, int first, int second)
        {
            if (plan.Compare(plan.AnchorOf(first), plan.AnchorOf(second)) > 0) (first, second) = (second, first);
            var feeds = (graph.BindingOf(first).Statement, graph.BindingOf(second).Statement);
            var acts = graph.ActsOf(first) & graph.ActsOf(second);
            found[feeds] = found.TryGetValue(feeds, out var known) ? known with { Acts = known.Acts | acts } : (node, first, second, acts);
        }
    }
}
