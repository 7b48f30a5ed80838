using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>What several sheets ask of a plan, worked out once: sources and the strips they reach, what goes where, names as people say them.</summary>
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

    /// <summary>The width and height of a label for a line of a box or a desk, in millimetres.</summary>
    public (double Width, double Height) LabelSize { get; init; } = LabelStrips.LineSize;

    public FaultMarks Faults { get; }

    /// <summary>Units, without the cards in them, by name.</summary>
    public ImmutableArray<Device> Units { get; }

    /// <summary>Units that have strips.</summary>
    public ImmutableArray<Device> Desks { get; }

    /// <summary>The acts as they follow each other; empty for a plan without acts.</summary>
    public ImmutableArray<ActSymbol> DayOrder { get; }

    /// <summary>Each act that sheets are for, alone, in the order of the day; a plan without acts has one that has no name.</summary>
    public IEnumerable<(ActSet Act, string Name, string Title)> EachAct =>
        DayOrder.IsEmpty ? [(Acts, "", "all day")] : DayOrder.Where(a => Acts.Has(a.Number)).Select(a => (ActSet.Of(a.Number), a.Name, TitleOf(a)));

    /// <summary>What people call an act.</summary>
    public static string TitleOf(ActSymbol act) => act.Label ?? act.Name;

    /// <summary>Some of the acts that sheets are for, by what people call them; nothing where they are all.</summary>
    public string During(ActSet acts) =>
        acts.Covers(Acts) ? "" : string.Join(", ", DayOrder.Where(a => (acts & Acts).Has(a.Number)).Select(TitleOf));

    /// <summary>The acts of a sheet that holds for all that sheets are for.</summary>
    public string WholeDay => Acts.Covers(Rig.AllActs) || DayOrder.IsEmpty ? "all day" : string.Join(", ", DayOrder.Where(a => Acts.Has(a.Number)).Select(TitleOf));

    /// <summary>What people call a device: its label or, without one, its name; a card with what it sits in.</summary>
    public static string TitleOf(Device device) =>
        device.Host is { } host ? $"{TitleOf(host)}, {device.Slot!.Name}"
        : device.Label is not { } label ? device.Name
        : device.Unit.Elements.IsIndexed && device.Unit.Labels.Length == 1 && device.Unit.Elements.Count > 1 ? $"{label} {device.Unit.Elements.NameOf(device.Element)}"
        : label;

    /// <summary>What people call a desk; with its name in the plan where two are called the same.</summary>
    private string DeskTitle(Device desk) => Desks.Count(d => TitleOf(d) == TitleOf(desk)) > 1 ? $"{TitleOf(desk)} ({desk.Name})" : TitleOf(desk);

    /// <summary>Where a device stands; empty where nothing says.</summary>
    public static string StandsAt(Device device) => device.Unit.Settings["place"]?.Text ?? "";

    /// <summary>A point on its own unit: <c>ch 5</c>, <c>expansion.net 3</c>.</summary>
    public static string Local(GraphPoint point)
    {
        var socket = point.Device.Host is null ? point.Socket.Name : $"{point.Device.Name[(point.Device.Outermost.Name.Length + 1)..]}.{point.Socket.Name}";
        return point.Socket.CountOn(point.Side) == 1 ? socket : $"{socket} {point.Channel + 1}";
    }

    /// <summary>A socket as a plan writes it, all its channels: <c>desk.expansion.net</c>.</summary>
    public static string Written(Device device, Socket socket) => $"{device.Name}.{socket.Name}";

    /// <summary>The cable by which a hop between connectors goes, if one is declared.</summary>
    public Cable? CableBetween(GraphPoint from, GraphPoint to, ActSet acts)
    {
        var (leaves, arrives) = (from.Connector, to.Connector);
        foreach (var cable in cablesFrom[leaves])
            if (cable.To == arrives && cable.Acts.Meets(acts)) return cable;
        foreach (var cable in cablesTo[leaves with { Side = Side.In }])
            if (cable.BothWays && cable.From == arrives with { Side = Side.Out } && cable.Acts.Meets(acts)) return cable;
        return null;
    }

    /// <summary>What is written on a cable: its multicore and way, or its label; empty for neither.</summary>
    public static string Mark(Cable cable) => cable.Loom is { } loom ? $"{loom.Label ?? loom.Name} {cable.Way}" : cable.Label ?? "";

    /// <summary>A row, with the faults that touch it.</summary>
    public Row RowOf(ImmutableArray<Cell> cells, Place? place, params IEnumerable<Place> alsoFrom) => new(cells, place, Faults.At(place, alsoFrom));

    /// <summary>A row about a signal, with the faults that touch it, too, wherever it gets to.</summary>
    public Row RowOf(ImmutableArray<Cell> cells, Place? place, Reached reached) => new(cells, place, Faults.With(place, reached.Faults));

    /// <summary>All signals that enter the plan in some acts, box by box: the largest first, then by name.</summary>
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

    /// <summary>How many lines of each box are in use over the whole day. The boxes with the most come first on every sheet: they are those that people stand around.</summary>
    private Dictionary<(Device, Socket), int> BoxSizes => boxSizes ??= Plan.Ways.Where(w => w.Origin == WayOrigin.Socket)
        .SelectMany(w => Enumerable.Range(0, w.Count).SelectMany(e => w.StopsOf(e).Take(1))).Select(s => s.Point).Distinct()
        .GroupBy(p => (p.Device, p.Socket)).ToDictionary(g => g.Key, g => g.Count());

    private bool IsFed(int node, ActSet acts)
    {
        foreach (var edge in Graph.Into(node))
            if (Graph.ActsOf(edge).Meets(acts)) return true;
        return false;
    }

    /// <summary>What a signal reaches without being mixed, nearest first: on behind strips, by their direct outputs, and up to mixes.</summary>
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

    /// <summary>Points in words, runs of one socket together: <c>ch 1 to 8, ch 12</c>.</summary>
    public static string Runs(IEnumerable<GraphPoint> points) =>
        string.Join(", ", points.Distinct().GroupBy(p => (p.Device, p.Socket, p.Side)).OrderBy(g => g.First().ToString(), NaturalOrder.Instance)
            .Select(g => g.Key.Socket.CountOn(g.Key.Side) == 1 ? Local(g.First()) : $"{Local(g.First())[..Local(g.First()).LastIndexOf(' ')]} {Words.Runs(g.Select(p => p.Channel + 1).Order())}"));

    /// <summary>Columns that say on which strips signals come up: one for each desk they reach or, where that is too many for paper, one for all.</summary>
    public ImmutableArray<(Column Column, Func<Reached, string> StripsOf)> StripColumns(IEnumerable<Reached> signals)
    {
        const int mostDesks = 6;
        var desks = signals.SelectMany(r => r.Strips.Select(s => s.Device.Outermost)).ToHashSet();
        if (desks.Count > mostDesks)
            return [(new Column("Strips"), r => string.Join(", ", r.Strips.GroupBy(s => s.Device.Outermost).Select(g => $"{TitleOf(g.Key)} {Runs(g)}")))];
        return [.. Desks.Where(desks.Contains).Select(d => (new Column(DeskTitle(d)), (Func<Reached, string>)(r => Runs(r.Strips.Where(s => s.Device.Outermost == d)))))];
    }

    /// <summary>The routes over a network, each once for each signal.</summary>
    public IEnumerable<NetworkSheet.NetworkRoute> RoutesOn(Network network) => (routesOn ??= NetworkSheet.AllRoutes(this))[network];

    /// <summary>Whether a unit leads the time of its side of the rig.</summary>
    public bool LeadsTime(Device unit) =>
        (timekeepers ??= [.. Rig.Clocks.Where(c => Rig.RoleOf(c, Acts) == ClockRole.Timekeeper).Select(c => c.Device.Outermost)]).Contains(unit);

    /// <summary>The tracks on which a signal is kept: <c>track 5</c>; with the recorder's name where there are several.</summary>
    public string TracksOf(Reached reached)
    {
        recorderCount ??= Units.Count(u => u.Model.Sockets.Any(s => s.Settings.Has("recorder") && s.CountOn(Side.Out) > 0));
        return string.Join(", ", reached.Points.Where(p => p.Socket.Settings.Has("recorder") && p.Side == Side.Out)
            .Select(p => recorderCount > 1 ? $"{TitleOf(p.Device.Outermost)} {Local(p)}" : Local(p)).Distinct());
    }

    /// <summary>Whether phantom power is asked for at a signal's source, there or by a feed that goes on from it.</summary>
    public static bool WantsPhantom(Source source, Reached reached) => source.Way.HasPhantom(source.Element) || reached.HasPhantom;

    /// <summary>The edges that touch a unit or its cards, in the order of the plan.</summary>
    public IEnumerable<int> EdgesAt(Device unit)
    {
        unitOfEdge ??= Enumerable.Range(0, Graph.EdgeCount)
            .SelectMany(e => new[] { Rig.DeviceOf(Graph.FromOf(e)).Outermost.Index, Rig.DeviceOf(Graph.ToOf(e)).Outermost.Index }.Distinct().Select(u => (Unit: u, Edge: e)))
            .ToLookup(p => p.Unit, p => p.Edge);
        return unitOfEdge[unit.Index];
    }

    /// <summary>What a signal is called at a node in some acts: the title of whatever ends or passes there.</summary>
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
        // First those that follow none, then whoever follows these; `after` never goes in a circle.
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

/// <summary>A signal where it enters the plan.</summary>
/// <param name="Way">The feed that says so.</param>
/// <param name="Element">Which of the feed's elements.</param>
/// <param name="Socket">Where it is plugged.</param>
/// <param name="Acts">The acts in which it is there.</param>
internal sealed record Source(FeedWay Way, int Element, GraphPoint Socket, ActSet Acts)
{
    public string Title => Way.TitleOf(Element);
}

/// <summary>What a signal reaches without being mixed. Each of the many that enter at one socket reaches the same: what its rows ask is worked out once.</summary>
internal sealed class Reached
{
    /// <summary>Looks at what is reached.</summary>
    /// <param name="book">The plan.</param>
    /// <param name="acts">The acts in which it is reached.</param>
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

    /// <summary>The strips among the points.</summary>
    public List<GraphPoint> Strips { get; }

    /// <summary>The hop by which it gets to each point.</summary>
    public Dictionary<int, int> CameBy { get; } = [];

    /// <summary>Whether a feed on the way asks for phantom power.</summary>
    public bool HasPhantom { get; }

    /// <summary>The declared cables that it passes, nearest first.</summary>
    public ImmutableArray<Cable> Cables { get; }

    /// <summary>The faults of the feeds that it goes on by.</summary>
    public ImmutableArray<Finding> Faults { get; }
}
