using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>One source per act for strips, outputs and receiving channels; buses take many. Gives PL0306.</summary>
internal static class SourcesCheck
{
    /// <summary>The most points of one meeting that are kept, for what follows from it.</summary>
    private const int MostPoints = 64;

    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var meetings = new Dictionary<(Anchor, Anchor), Meeting>();
        var rows = new Dictionary<Anchor, (int Node, Meeting Meeting)>();
        foreach (var node in graph.Meetings)
        {
            if (plan.Rig.PointOf(node) is not { Socket.Sort: not SocketSort.Bus } point) continue;
            // Each is told against one other: where three meet, two of them are too many.
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
            // One that can't go on from there is in the wrong place: that is told, and mends this.
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

            // A row that meets one after another, channel by channel, or another one in each act, stands in the wrong place as a whole.
            void AddToRow(Anchor hop)
            {
                if (!rows.TryGetValue(hop, out var last)) return;
                var isBeside = last.Node == point.Node - 1 && plan.Rig.PointOf(last.Node) is var before && (before.Device, before.Socket) == (point.Device, point.Socket);
                if (isBeside || (last.Node == point.Node && !last.Meeting.Acts.Meets(acts))) meeting.Join(last.Meeting);
            }
        }

        bool CantGoOn(int edge, GraphPoint point) => graph.BindingOf(edge).Findings.Any(d => d.Explains.Contains(FeedBinder.NoWayOnFrom(point)));

        void Say(List<Meeting> row, string cause)
        {
            foreach (var meeting in row)
                bag.Add(new Draft(ChannelFindings.TwoSources(meeting.Point.ToString(), meeting.FirstFrom.ToString(), meeting.SecondFrom.ToString(), plan.During(meeting.Acts)), meeting.Second)
                {
                    Related = [(meeting.First, "the other source")],
                    Acts = meeting.Acts,
                    Explains = [.. meeting.Points.Select(FeedBinder.TwoSourcesAt)],
                    Causes = row.Count > 1 ? [cause] : [],
                    Shared = ((Anchor[])[row[0].First, row[0].Second]).Where(hop => row.TrueForAll(m => m.First == hop || m.Second == hop)).Select(hop => (Anchor?)hop).FirstOrDefault(),
                });
        }
    }

    /// <summary>Two hops that meet, at the first point where they do.</summary>
    private sealed class Meeting(Anchor first, Anchor second, GraphPoint point, GraphPoint firstFrom, GraphPoint secondFrom)
    {
        private Meeting? joined;

        public Anchor First { get; } = first;

        public Anchor Second { get; } = second;

        public GraphPoint Point { get; } = point;

        /// <summary>The points where they meet, the first ones of very many.</summary>
        public List<GraphPoint> Points { get; } = [point];

        public GraphPoint FirstFrom { get; } = firstFrom;

        public GraphPoint SecondFrom { get; } = secondFrom;

        public ActSet Acts { get; set; }

        /// <summary>The one that stands for all of the same row.</summary>
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
