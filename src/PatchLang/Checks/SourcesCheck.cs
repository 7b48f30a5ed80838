using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>One source per act for strips, outputs and receiving channels; buses take many. Gives PL0306.</summary>
internal static class SourcesCheck
{
    /// <summary>The most sources of one point that are told against each other pair by pair.</summary>
    private const int MostInPairs = 16;

    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var said = new HashSet<((int Owner, Hop), (int Owner, Hop))>();
        foreach (var node in graph.Meetings)
        {
            var into = graph.Into(node);
            if (plan.Rig.PointOf(node) is not { Socket.Sort: not SocketSort.Bus } point) continue;
            for (var j = 1; j < into.Length; j++)
                for (var i = 0; i < j; i++)
                {
                    if (!AreTwoSources(graph, into[i], into[j])) continue;
                    Say(into[i], into[j], point);
                    // Of many, each is told against one other: all pairs would be more than anyone reads, or memory holds.
                    if (into.Length > MostInPairs) break;
                }
        }

        void Say(int first, int second, GraphPoint point)
        {
            if (plan.Compare(plan.AnchorOf(first), plan.AnchorOf(second)) > 0) (first, second) = (second, first);
            if (!said.Add((graph.OwnHopOf(first), graph.OwnHopOf(second)))) return;
            var acts = graph.ActsOf(first) & graph.ActsOf(second);
            bag.Add(new Draft(
                ChannelFindings.TwoSources(point.ToString(), plan.Rig.PointOf(graph.FromOf(first)).ToString(), plan.Rig.PointOf(graph.FromOf(second)).ToString(), plan.During(acts)),
                plan.AnchorOf(second))
            {
                Related = [(plan.AnchorOf(first), "the other source")],
                Acts = acts,
            });
        }
    }

    private static bool AreTwoSources(SignalGraph graph, int first, int second)
    {
        if (graph.FromOf(first) == graph.FromOf(second) || !graph.ActsOf(first).Meets(graph.ActsOf(second))) return false;
        var (one, other) = (graph.HopOf(first), graph.HopOf(second));
        if (one.IsInsert || other.IsInsert) return false;
        if (one.Alternatives is not null && one.Alternatives == other.Alternatives) return false;
        return one.Route is not { Sort: RouteSort.Either } route || other.Route != route;
    }
}
