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
            if (into.Length > MostInPairs)
            {
                // Of many, each is told against one other: all pairs would be more than anyone reads, or memory holds.
                var known = new KnownSources(graph);
                foreach (var edge in into)
                {
                    if (known.FirstOtherThan(edge) is { } other) Say(other, edge, point);
                    known.Add(edge);
                }
                continue;
            }
            for (var j = 1; j < into.Length; j++)
                for (var i = 0; i < j; i++)
                    if (AreTwoSources(graph, into[i], into[j])) Say(into[i], into[j], point);
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

    /// <summary>The sources of one point that were looked at. Thousands can lead there: those alike are known by the first of them.</summary>
    private sealed class KnownSources(SignalGraph graph)
    {
        private readonly Dictionary<(ActSet Acts, object? Alternatives, Route? Either), int> placeOfSort = [];

        // Of each sort the first source, and the first from somewhere else: any other of the sort is a source beside them where one of these is.
        private readonly List<(int First, int? Elsewhere)> sorts = [];
        private int? onlyFrom;

        /// <summary>The first known source that a source is another than, in one act.</summary>
        public int? FirstOtherThan(int edge)
        {
            if (onlyFrom == graph.FromOf(edge)) return null;
            int? found = null;
            foreach (var (first, elsewhere) in sorts)
            {
                if (found < first) break;
                if (AreTwoSources(graph, first, edge)) return first;
                if (elsewhere is { } other && !(found < other) && AreTwoSources(graph, other, edge)) found = other;
            }
            return found;
        }

        public void Add(int edge)
        {
            var hop = graph.HopOf(edge);
            if (hop.IsInsert) return; // which is no source
            onlyFrom = sorts.Count == 0 || onlyFrom == graph.FromOf(edge) ? graph.FromOf(edge) : null;
            var sort = (graph.ActsOf(edge), hop.Alternatives, hop.Route is { Sort: RouteSort.Either } route ? route : null);
            if (placeOfSort.TryAdd(sort, sorts.Count)) sorts.Add((edge, null));
            else if (sorts[placeOfSort[sort]] is { Elsewhere: null } alike && graph.FromOf(alike.First) != graph.FromOf(edge))
                sorts[placeOfSort[sort]] = alike with { Elsewhere = edge };
        }
    }
}
