using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>Strips, outputs and receiving channels take one source per act; buses take many. Gives PL0306.</summary>
internal static class SourcesCheck
{
    /// <summary>The most points kept of one meeting, to leave out what follows from it.</summary>
    private const int MostPoints = 64;

    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var meetings = new Dictionary<(Anchor, Anchor), Meeting>();
        var rows = new Dictionary<Anchor, (int Node, Meeting Meeting)>();
        foreach (var node in graph.Meetings)
        {
            if (plan.Rig.PointOf(node) is not { Socket.Sort: not SocketSort.Bus } point) continue;
            // Each source is reported against only one other: of three at one point, two are too many.
            var known = new KnownSources(graph);
            foreach (var edge in graph.Into(node))
            {
                if (known.FirstOtherThan(edge) is { } other) Add(other, edge, point);
                known.Add(edge);
            }
        }
        var count = 0;
        foreach (var row in meetings.Values.GroupBy(m => m.Row)) Say(row.ToList(), $"row {++count}");

        void Add(int first, int second, GraphPoint point)
        {
            // A feed that can't go on from this point probably ends in the wrong place. That has a finding, and mending it mends this, too.
            if (CantGoOn(first, point) || CantGoOn(second, point)) return;
            if (plan.Compare(plan.AnchorOf(first), plan.AnchorOf(second)) > 0) (first, second) = (second, first);
            var acts = graph.ActsOf(first) & graph.ActsOf(second);
            var hops = (plan.AnchorOf(first), plan.AnchorOf(second));
            if (meetings.TryGetValue(hops, out var meeting))
            {
                meeting.Acts |= acts;
                if (meeting.Points.Count < MostPoints && meeting.Points[^1].Node != point.Node) meeting.Points.Add(point);
            }
            else
            {
                meetings.Add(hops, meeting = new Meeting(hops.Item1, hops.Item2, point, plan.Rig.PointOf(graph.FromOf(first)), plan.Rig.PointOf(graph.FromOf(second))) { Acts = acts });
                AddToRow(hops.Item1);
                AddToRow(hops.Item2);
            }
            rows[hops.Item1] = rows[hops.Item2] = (point.Node, meeting);

            // Feeds that collide on adjacent channels, or with a different feed in each act, are probably in the wrong place as a whole row.
            void AddToRow(Anchor hop)
            {
                if (!rows.TryGetValue(hop, out var last)) return;
                var isBeside = last.Node == point.Node - 1 && plan.Rig.PointOf(last.Node) is var before && (before.Device, before.Socket) == (point.Device, point.Socket);
                if (isBeside || (last.Node == point.Node && !last.Meeting.Acts.Meets(acts))) meeting.Join(last.Meeting);
            }
        }

        bool CantGoOn(int edge, GraphPoint point) => graph.BindingOf(edge).Findings.Any(d => d.Explains.Contains(FeedBinder.NoWayOnFrom(point)));

        // Where the two feeds take the mixture on their own ways.
        IEnumerable<GraphPoint> Onwards(GraphPoint point, Meeting meeting)
        {
            var at = point.Node;
            for (var steps = 0; steps < MostPoints; steps++)
            {
                var next = -1;
                foreach (var edge in graph.OutOf(at))
                    if (graph.BindingOf(edge).Statement is var statement && (statement == meeting.First.Statement || statement == meeting.Second.Statement)) next = graph.ToOf(edge);
                if (next < 0 || next == at) yield break;
                yield return plan.Rig.PointOf(next);
                at = next;
            }
        }

        void Say(List<Meeting> row, string cause)
        {
            foreach (var meeting in row)
                bag.Add(new Draft(ChannelFindings.TwoSources(meeting.Point.ToString(), meeting.FirstFrom.ToString(), meeting.SecondFrom.ToString(), plan.During(meeting.Acts)), meeting.Second)
                {
                    Related = [(meeting.First, "the other source")],
                    Acts = meeting.Acts,
                    Explains = [.. meeting.Points.Concat(meeting.Points.SelectMany(p => Onwards(p, meeting))).Select(FeedBinder.TwoSourcesAt)],
                    Causes = row.Count > 1 ? [cause] : [],
                    Shared = ((Anchor[])[row[0].First, row[0].Second]).Where(hop => row.TrueForAll(m => m.First == hop || m.Second == hop)).Select(hop => (Anchor?)hop).FirstOrDefault(),
                });
        }
    }

    /// <summary>Two hops into the same point; the first such point is kept to report them.</summary>
    private sealed class Meeting(Anchor first, Anchor second, GraphPoint point, GraphPoint firstFrom, GraphPoint secondFrom)
    {
        private Meeting? joined;

        public Anchor First { get; } = first;

        public Anchor Second { get; } = second;

        public GraphPoint Point { get; } = point;

        /// <summary>The points at which the two hops meet; if there are very many, the first of them.</summary>
        public List<GraphPoint> Points { get; } = [point];

        public GraphPoint FirstFrom { get; } = firstFrom;

        public GraphPoint SecondFrom { get; } = secondFrom;

        public ActSet Acts { get; set; }

        /// <summary>The representative of all meetings in the same row (a union-find root).</summary>
        public Meeting Row => joined?.Row ?? this;

        public void Join(Meeting other)
        {
            if (Row != other.Row) Row.joined = other.Row;
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

    /// <summary>The sources of a point seen so far. There can be thousands, so those of a sort are represented by the first of them.</summary>
    private sealed class KnownSources(SignalGraph graph)
    {
        private readonly Dictionary<(ActSet Acts, object? Alternatives, Route? Either), int> placeOfSort = [];

        // Per sort, the first source and the first one from another place: any further source of the sort conflicts where one of these two does.
        private readonly List<(int First, int? Elsewhere)> sorts = [];
        private int? onlyFrom;

        /// <summary>The first known source that conflicts with this one in some act.</summary>
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
            if (hop.IsInsert) return; // an insert is no source
            onlyFrom = sorts.Count == 0 || onlyFrom == graph.FromOf(edge) ? graph.FromOf(edge) : null;
            var sort = (graph.ActsOf(edge), hop.Alternatives, hop.Route is { Sort: RouteSort.Either } route ? route : null);
            if (placeOfSort.TryAdd(sort, sorts.Count)) sorts.Add((edge, null));
            else if (sorts[placeOfSort[sort]] is { Elsewhere: null } alike && graph.FromOf(alike.First) != graph.FromOf(edge))
                sorts[placeOfSort[sort]] = alike with { Elsewhere = edge };
        }
    }
}
