using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>One source per act for strips, outputs and receiving channels; buses take many. Gives PL0306.</summary>
internal static class SourcesCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var said = new HashSet<(Hop, Hop)>();
        for (var node = 0; node < graph.NodeCount; node++)
        {
            var into = graph.Into(node);
            if (into.Length < 2) continue;
            if (plan.Rig.PointOf(node) is not { Socket.Sort: not SocketSort.Bus } point) continue;
            for (var i = 0; i < into.Length; i++)
                for (var j = i + 1; j < into.Length; j++)
                    if (AreTwoSources(graph, into[i], into[j])) Say(into[i], into[j], point);
        }

        void Say(int first, int second, GraphPoint point)
        {
            if (plan.Compare(plan.AnchorOf(first), plan.AnchorOf(second)) > 0) (first, second) = (second, first);
            if (!said.Add((graph.HopOf(first), graph.HopOf(second)))) return;
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
