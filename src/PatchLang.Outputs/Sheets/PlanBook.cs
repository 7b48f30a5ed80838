using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>What several sheets need of a plan, computed once: sources and the strips they reach, routes, and titles.</summary>
internal sealed class PlanBook
{
    private readonly Dictionary<ActSet, ImmutableArray<Source>> sourcesIn = [];
    private readonly ILookup<Connector, Cable> cablesFrom;
    private readonly ILookup<Connector, Cable> cablesTo;
    private ILookup<int, int>? unitOfEdge;
    private Dictionary<FeedWay, Dictionary<int, int>>? elementOf;
    private readonly Dictionary<(int Node, ActSet Acts), Reached> reachOf = [];
    private ILookup<Network, NetworkSheet.NetworkRoute>? routesOn;
    private HashSet<Device>? timekeepers;
    private int? recorderCount;
    private Dictionary<(Device, Socket), int>? boxSizes;

    public PlanBook(Compilation plan, ActSet acts)
    {
        Plan = plan;
        Acts = acts;
        Faults = new FaultMarks(plan);
        Units = [.. plan.Rig.Devices.Where(d => d.Host is null && d.Acts.Meets(acts)).OrderBy(d => d.Name, NaturalOrder.Instance)];
        cablesFrom = plan.Rig.Cables.ToLookup(c => c.From);
        cablesTo = plan.Rig.Cables.ToLookup(c => c.To);
        Desks = [.. Units.Where(u => u.Model.Sockets.Any(s => s.Sort == SocketSort.Strip))];
        DayOrder = InOrder(plan);
    }

    public Compilation Plan { get; }

    public Rig Rig => Plan.Rig;

    public SignalGraph Graph => Plan.Graph;

    /// <summary>The acts that the sheets are for.</summary>
    public ActSet Acts { get; }

    /// <summary>The width and height of a line's label, in millimetres.</summary>
    public (double Width, double Height) LabelSize { get; init; } = LabelStrips.LineSize;

    public FaultMarks Faults { get; }

    /// <summary>Units, without the cards in them, by name.</summary>
    public ImmutableArray<Device> Units { get; }

    /// <summary>Units that have strips.</summary>
    public ImmutableArray<Device> Desks { get; }

    /// <summary>The acts in the order of the day; empty for a plan without acts.</summary>
    public ImmutableArray<ActSymbol> DayOrder { get; }

    /// <summary>Each act that sheets are for, in the order of the day; a plan without acts has one, without a name.</summary>
    public IEnumerable<(ActSet Act, string Name, string Title)> EachAct =>
        DayOrder.IsEmpty ? [(Acts, "", "all day")] : DayOrder.Where(a => Acts.Has(a.Number)).Select(a => (ActSet.Of(a.Number), a.Name, TitleOf(a)));

    /// <summary>The title of an act.</summary>
    public static string TitleOf(ActSymbol act) => act.Label ?? act.Name;

    /// <summary>The titles of some of the acts that sheets are for; empty if these are all.</summary>
    public string During(ActSet acts) =>
        acts.Covers(Acts) ? "" : string.Join(", ", DayOrder.Where(a => (acts & Acts).Has(a.Number)).Select(TitleOf));

    /// <summary>The title of a sheet for all acts that sheets are for.</summary>
    public string WholeDay => Acts.Covers(Rig.AllActs) || DayOrder.IsEmpty ? "all day" : string.Join(", ", DayOrder.Where(a => Acts.Has(a.Number)).Select(TitleOf));

    /// <summary>The title of a device: its label or else its name; for a card, with that of its host.</summary>
    public static string TitleOf(Device device) =>
        device.Host is { } host ? $"{TitleOf(host)}, {device.Slot!.Name}"
        : device.Label is not { } label ? device.Name
        : device.Unit.Elements.IsIndexed && device.Unit.Labels.Length == 1 && device.Unit.Elements.Count > 1 ? $"{label} {device.Unit.Elements.NameOf(device.Element)}"
        : label;

    /// <summary>The title of a desk, with its name in the plan if another desk has the same title.</summary>
    private string DeskTitle(Device desk) => Desks.Count(d => TitleOf(d) == TitleOf(desk)) > 1 ? $"{TitleOf(desk)} ({desk.Name})" : TitleOf(desk);

    /// <summary>Where a device is placed; empty if the plan does not say.</summary>
    public static string StandsAt(Device device) => device.Unit.Settings["place"]?.Text ?? "";

    /// <summary>A point without its unit: <c>ch 5</c>, <c>expansion.net 3</c>.</summary>
    public static string Local(GraphPoint point)
    {
        var socket = point.Device.Host is null ? point.Socket.Name : $"{point.Device.Name[(point.Device.Outermost.Name.Length + 1)..]}.{point.Socket.Name}";
        return point.Socket.CountOn(point.Side) == 1 ? socket : $"{socket} {point.Channel + 1}";
    }

    /// <summary>A whole socket as a plan writes it: <c>desk.expansion.net</c>.</summary>
    public static string Written(Device device, Socket socket) => $"{device.Name}.{socket.Name}";

    /// <summary>The declared cable between two connectors, if any.</summary>
    public Cable? CableBetween(GraphPoint from, GraphPoint to, ActSet acts)
    {
        var (leaves, arrives) = (from.Connector, to.Connector);
        foreach (var cable in cablesFrom[leaves])
            if (cable.To == arrives && cable.Acts.Meets(acts)) return cable;
        foreach (var cable in cablesTo[leaves with { Side = Side.In }])
            if (cable.BothWays && cable.From == arrives with { Side = Side.Out } && cable.Acts.Meets(acts)) return cable;
        return null;
    }

    /// <summary>The text on a cable: its multicore and way, or its label; empty for neither.</summary>
    public static string Mark(Cable cable) => cable.Loom is { } loom ? $"{loom.Label ?? loom.Name} {cable.Way}" : cable.Label ?? "";

    /// <summary>A row, with the findings that concern it.</summary>
    public Row RowOf(ImmutableArray<Cell> cells, Place? place, params IEnumerable<Place> alsoFrom) => new(cells, place, Faults.At(place, alsoFrom));

    /// <summary>A row about a signal, with the findings that concern it anywhere on its way.</summary>
    public Row RowOf(ImmutableArray<Cell> cells, Place? place, Reached reached) => new(cells, place, Faults.With(place, reached.Faults));

    /// <summary>All signals that enter the plan in some acts, box by box: boxes with the most lines first, then by name.</summary>
    public ImmutableArray<Source> SourcesIn(ActSet acts)
    {
        if (sourcesIn.TryGetValue(acts, out var known)) return known;
        var found = new List<Source>();
        foreach (var way in Plan.Ways)
        {
            if (way.Origin != WayOrigin.Socket || !way.Acts.Meets(acts)) continue;
            for (var element = 0; element < way.Count; element++)
            {
                var stops = way.StopsOf(element);
                if (stops.IsEmpty || stops[0].Point.Side == Side.Inner || IsFed(stops[0].Point.Node, acts)) continue;
                found.Add(new Source(way, element, stops[0].Point, way.Acts & acts));
            }
        }
        return sourcesIn[acts] = [.. found.OrderByDescending(s => BoxSizes[(s.Socket.Device, s.Socket.Socket)]).ThenBy(s => s.Socket.ToString(), NaturalOrder.Instance).ThenBy(s => s.Acts.First).ThenBy(s => s.Way.Number).ThenBy(s => s.Element)];
    }

    /// <summary>
    /// How many lines of each box are in use over the whole day. The busiest boxes come first on every sheet, as that is where people work.
    /// </summary>
    private Dictionary<(Device, Socket), int> BoxSizes => boxSizes ??= Plan.Ways.Where(w => w.Origin == WayOrigin.Socket)
        .SelectMany(w => Enumerable.Range(0, w.Count).SelectMany(e => w.StopsOf(e).Take(1))).Select(s => s.Point).Distinct()
        .GroupBy(p => (p.Device, p.Socket)).ToDictionary(g => g.Key, g => g.Count());

    private bool IsFed(int node, ActSet acts)
    {
        foreach (var edge in Graph.Into(node))
            if (Graph.ActsOf(edge).Meets(acts)) return true;
        return false;
    }

    /// <summary>What a signal reaches without being mixed, nearest first: through strips and their direct outputs, up to mixes.</summary>
    public Reached ReachOf(int node, ActSet acts) => reachOf.TryGetValue((node, acts), out var known) ? known : reachOf[(node, acts)] = FindReach(node, acts);

    private Reached FindReach(int node, ActSet acts)
    {
        var seen = new HashSet<int> { node };
        var points = new List<GraphPoint>();
        var edges = new List<int>();
        var open = new Queue<int>(seen);
        while (open.TryDequeue(out var at))
        {
            var point = Rig.PointOf(at);
            points.Add(point);
            if (point.Socket.Sort == SocketSort.Bus) continue;
            foreach (var edge in Graph.OutOf(at))
            {
                if (!Graph.ActsOf(edge).Meets(acts) || Graph.HopOf(edge).IsInsert) continue;
                edges.Add(edge);
                if (seen.Add(Graph.ToOf(edge))) open.Enqueue(Graph.ToOf(edge));
            }
        }
        return new Reached(this, acts, points, edges);
    }

    /// <summary>Points in words, with runs of one socket together: <c>ch 1 to 8, ch 12</c>.</summary>
    public static string Runs(IEnumerable<GraphPoint> points) =>
        string.Join(", ", points.Distinct().GroupBy(p => (p.Device, p.Socket, p.Side)).OrderBy(g => g.First().ToString(), NaturalOrder.Instance)
            .Select(g => g.Key.Socket.CountOn(g.Key.Side) == 1 ? Local(g.First()) : $"{Local(g.First())[..Local(g.First()).LastIndexOf(' ')]} {Words.Runs(g.Select(p => p.Channel + 1).Order())}"));

    /// <summary>Columns with the strips where signals appear: one per desk or, if these would be too many for paper, one for all.</summary>
    public ImmutableArray<(Column Column, Func<Reached, string> StripsOf)> StripColumns(IEnumerable<Reached> signals)
    {
        const int mostDesks = 6;
        var desks = signals.SelectMany(r => r.Strips.Select(s => s.Device.Outermost)).ToHashSet();
        if (desks.Count > mostDesks)
            return [(new Column("Strips"), r => string.Join(", ", r.Strips.GroupBy(s => s.Device.Outermost).Select(g => $"{TitleOf(g.Key)} {Runs(g)}")))];
        return [.. Desks.Where(desks.Contains).Select(d => (new Column(DeskTitle(d)), (Func<Reached, string>)(r => Runs(r.Strips.Where(s => s.Device.Outermost == d)))))];
    }

    /// <summary>The routes over a network, one per signal.</summary>
    public IEnumerable<NetworkSheet.NetworkRoute> RoutesOn(Network network) => (routesOn ??= NetworkSheet.AllRoutes(this))[network];

    /// <summary>Whether a unit leads its clock domain.</summary>
    public bool LeadsTime(Device unit) =>
        (timekeepers ??= [.. Rig.Clocks.Where(c => Rig.RoleOf(c, Acts) == ClockRole.Timekeeper).Select(c => c.Device.Outermost)]).Contains(unit);

    /// <summary>The tracks that record a signal: <c>track 5</c>; with the recorder's name if there are several.</summary>
    public string TracksOf(Reached reached)
    {
        recorderCount ??= Units.Count(u => u.Model.Sockets.Any(s => s.Settings.Has("recorder") && s.CountOn(Side.Out) > 0));
        return string.Join(", ", reached.Points.Where(p => p.Socket.Settings.Has("recorder") && p.Side == Side.Out)
            .Select(p => recorderCount > 1 ? $"{TitleOf(p.Device.Outermost)} {Local(p)}" : Local(p)).Distinct());
    }

    /// <summary>Whether phantom power is asked for at a signal's source, by its feed or by one that continues it.</summary>
    public static bool WantsPhantom(Source source, Reached reached) => source.Way.HasPhantom(source.Element) || reached.HasPhantom;

    /// <summary>The edges at a unit or its cards, in the order of the plan.</summary>
    public IEnumerable<int> EdgesAt(Device unit)
    {
        unitOfEdge ??= Enumerable.Range(0, Graph.EdgeCount)
            .SelectMany(e => new[] { Rig.DeviceOf(Graph.FromOf(e)).Outermost.Index, Rig.DeviceOf(Graph.ToOf(e)).Outermost.Index }.Distinct().Select(u => (Unit: u, Edge: e)))
            .ToLookup(p => p.Unit, p => p.Edge);
        return unitOfEdge[unit.Index];
    }

    /// <summary>The title of the signal at an edge.</summary>
    public string TitleAt(int edge)
    {
        var way = Plan.WayOf(edge);
        if (way.Count == 1) return way.TitleOf(0);
        elementOf ??= [];
        if (!elementOf.TryGetValue(way, out var map))
        {
            map = [];
            for (var element = 0; element < way.Count; element++)
                foreach (var stop in way.StopsOf(element)) map.TryAdd(stop.Point.Node, element);
            elementOf.Add(way, map);
        }
        return map.TryGetValue(Graph.ToOf(edge), out var at) || map.TryGetValue(Graph.FromOf(edge), out at) ? way.TitleOf(at) : way.Name;
    }

    private static ImmutableArray<ActSymbol> InOrder(Compilation plan)
    {
        // First the acts that follow none, then those that follow them; `after` can't form a circle.
        var order = ImmutableArray.CreateBuilder<ActSymbol>();
        foreach (var act in plan.Acts)
            if (act.After is null) Add(act);
        return order.DrainToImmutable();

        void Add(ActSymbol act)
        {
            order.Add(act);
            foreach (var next in plan.Acts)
                if (next.After == act) Add(next);
        }
    }
}

/// <summary>A signal at the point where it enters the plan.</summary>
/// <param name="Way">The feed that declares it.</param>
/// <param name="Element">Which of the feed's elements.</param>
/// <param name="Socket">The socket it is plugged into.</param>
/// <param name="Acts">The acts in which it is there.</param>
internal sealed record Source(FeedWay Way, int Element, GraphPoint Socket, ActSet Acts)
{
    public string Title => Way.TitleOf(Element);
}

/// <summary>
/// What a signal reaches without being mixed. Signals that enter at the same socket share it, so what their rows need is computed once.
/// </summary>
internal sealed class Reached
{
    /// <summary>Collects what is reached.</summary>
    /// <param name="book">The plan.</param>
    /// <param name="acts">The acts.</param>
    /// <param name="points">The points, nearest first.</param>
    /// <param name="edges">The hops by which it gets there.</param>
    public Reached(PlanBook book, ActSet acts, List<GraphPoint> points, List<int> edges)
    {
        Points = points;
        Strips = points.FindAll(p => p.Socket.Sort == SocketSort.Strip);
        foreach (var edge in edges) CameBy.TryAdd(book.Graph.ToOf(edge), edge);
        var ways = edges.Select(book.Plan.WayOf).Distinct().ToList();
        HasPhantom = ways.Exists(w => w.Feed?.HasPhantom == true);
        Faults = book.Faults.At(null, ways.Select(w => w.Place));
        Cables =
        [
            .. edges.Where(e => book.Graph.HopOf(e).Kind == HopKind.Cable)
                .Select(e => book.CableBetween(book.Rig.PointOf(book.Graph.FromOf(e)), book.Rig.PointOf(book.Graph.ToOf(e)), acts)).OfType<Cable>().Distinct(),
        ];
    }

    /// <summary>The points it is at, nearest first.</summary>
    public List<GraphPoint> Points { get; }

    /// <summary>The strips among these points.</summary>
    public List<GraphPoint> Strips { get; }

    /// <summary>The hop that leads to each point.</summary>
    public Dictionary<int, int> CameBy { get; } = [];

    /// <summary>Whether a feed on the way asks for phantom power.</summary>
    public bool HasPhantom { get; }

    /// <summary>The declared cables on the way, nearest first.</summary>
    public ImmutableArray<Cable> Cables { get; }

    /// <summary>The findings of the feeds that continue the signal.</summary>
    public ImmutableArray<Finding> Faults { get; }
}
