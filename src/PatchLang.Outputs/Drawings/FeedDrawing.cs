using System.Globalization;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Outputs.Drawings.Layout;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Outputs.Drawings;

/// <summary>
/// The way of a feed, or of what passes a point, from its sources to its listeners: each socket, strip or bus with the time and level of
/// the sound there, and each hop with its kind and what it adds.
/// </summary>
public sealed class FeedDrawing
{
    private const int MostColumns = 34;

    private readonly Compilation plan;
    private readonly ActSet acts;
    private readonly HashSet<int> own;
    private readonly Dictionary<(Device, Socket, Side), Station> stations = [];
    private readonly List<Station> inOrder = [];
    private readonly Dictionary<(Station, Station, HopKind), Leg> legs = [];
    private readonly List<Leg> legsInOrder = [];
    private readonly FormatStyles styles = new();

    private FeedDrawing(Compilation plan, IEnumerable<int> own, ActSet acts)
    {
        (this.plan, this.acts) = (plan, acts);
        this.own = [.. own.Where(plan.Graph.IsUsed)];
    }

    /// <summary>The channels of one side of a socket that are on the way.</summary>
    private sealed class Station(GraphPoint point)
    {
        public GraphPoint Point { get; } = point;

        public SortedSet<int> Channels { get; } = [];

        public List<int> Nodes { get; } = [];

        public bool IsOwn { get; set; }

        public string Name => Point.Socket.CountOn(Point.Side) == 1 ? $"{Point.Device.Name}.{Point.Socket.Name}" : $"{Point.Device.Name}.{Point.Socket.Name}{Drawings.Channels.Index(Channels)}";
    }

    /// <summary>The hops of one kind between two stations.</summary>
    private sealed class Leg(Station from, Station to)
    {
        public Station From { get; } = from;

        public Station To { get; } = to;

        public List<int> Edges { get; } = [];
    }

    /// <summary>Draws a way.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="written">The point or feed, as a plan writes it.</param>
    /// <param name="query">What that resolves to; must be without a problem.</param>
    /// <param name="acts">Restricts the drawing to these acts.</param>
    public static Drawing Of(Compilation plan, string written, PointQuery query, ActSet acts) =>
        new FeedDrawing(plan, query.Nodes, acts).Draw(written, query.Feed);

    private Drawing Draw(string written, FeedSymbol? feed)
    {
        var marks = new Marks(plan);
        Spread(isBack: true);
        Spread(isBack: false);
        var sketch = new Sketch();
        var boxOf = inOrder.ToDictionary(s => s, s => sketch.Add(new SketchedBox(BoxSort.Point, s.Name, Lettering.Cut(s.Point.Device.Outermost.Label ?? s.Point.Device.Outermost.Name, MostColumns))
        {
            Details = [Lettering.Cut(s.Name, MostColumns), .. ArrivalAt(s), .. LevelAt(s)],
            IsStrong = s.IsOwn,
            Place = plan.PlaceOf(s.Point.Device.Unit),
        }));
        var portOf = new Dictionary<(Station, FormatStyle), SketchedPort>();
        foreach (var leg in legsInOrder)
        {
            // Hops of one kind from the same place share one line that branches.
            var style = styles.Of(plan.Graph.HopOf(leg.Edges[0]).IsLink ? leg.From.Point.Socket.Format : null);
            if (!portOf.TryGetValue((leg.From, style), out var from)) portOf.Add((leg.From, style), from = boxOf[leg.From].AddPort(boxOf[leg.From].Own, Flank.Right, leg.From.Name, ""));
            var to = boxOf[leg.To].AddPort(boxOf[leg.To].Own, Flank.Left, leg.To.Name, "");
            sketch.Add(Line(leg, from, to, style, marks));
        }
        var title = feed is { Labels: [var label, ..] } ? $"{label} ({written})" : written;
        return sketch.Finish(new Drawing
        {
            Title = Headline.Of(plan, $"The way of {title}", acts),
            Description = inOrder.Count == 0
                ? plan.SayNothingPatched()
                : $"From {Names(inOrder.Where(s => legsInOrder.TrueForAll(l => l.To != s)))} to {Names(inOrder.Where(s => legsInOrder.TrueForAll(l => l.From != s)))}, in {legsInOrder.Count} steps.",
            Notes = inOrder.Count == 0 ? [plan.SayNothingPatched(), .. marks.Notes] : marks.Notes,
            Formats = styles.All,
        });
    }

    private static string Names(IEnumerable<Station> stations)
    {
        var names = stations.Select(s => s.Name).Order(NaturalOrder.Instance).ToList();
        return names.Count <= 4 ? string.Join(", ", names.DefaultIfEmpty("a circle")) : $"{string.Join(", ", names.Take(3))} and {names.Count - 3} more";
    }

    /// <summary>Adds everything upstream, or everything downstream, of the points asked for.</summary>
    private void Spread(bool isBack)
    {
        var graph = plan.Graph;
        var seen = new HashSet<int>(own);
        var open = new Queue<int>(own.Order());
        while (open.TryDequeue(out var node))
        {
            var isUsed = false;
            foreach (var edge in isBack ? graph.Into(node) : graph.OutOf(node))
            {
                if (!graph.ActsOf(edge).Meets(acts)) continue;
                isUsed = true;
                Take(edge);
                var next = isBack ? graph.FromOf(edge) : graph.ToOf(edge);
                if (seen.Add(next)) open.Enqueue(next);
            }
            if (isUsed) StationOf(node);
        }
    }

    private void Take(int edge)
    {
        var (from, to) = (StationOf(plan.Graph.FromOf(edge)), StationOf(plan.Graph.ToOf(edge)));
        var key = (from, to, plan.Graph.HopOf(edge).Kind);
        if (!legs.TryGetValue(key, out var leg))
        {
            legs.Add(key, leg = new Leg(from, to));
            legsInOrder.Add(leg);
        }
        if (!leg.Edges.Contains(edge)) leg.Edges.Add(edge);
    }

    private Station StationOf(int node)
    {
        var point = plan.Rig.PointOf(node);
        var key = (point.Device, point.Socket, point.Side);
        if (!stations.TryGetValue(key, out var station))
        {
            stations.Add(key, station = new Station(point));
            inOrder.Add(station);
        }
        if (station.Channels.Add(point.Channel)) station.Nodes.Add(node);
        station.IsOwn |= own.Contains(node);
        return station;
    }

    /// <summary>When sound arrives at a station.</summary>
    private IEnumerable<string> ArrivalAt(Station station)
    {
        var (earliest, latest, isKnown) = (double.PositiveInfinity, 0.0, true);
        foreach (var view in plan.Facts.Views)
        {
            if (!view.Acts.Meets(acts)) continue;
            foreach (var node in station.Nodes)
            {
                if (!IsThere(node, view.Acts & acts)) continue;
                var arrival = view.ArrivalAt(node);
                isKnown &= arrival.IsKnown;
                (earliest, latest) = (Math.Min(earliest, arrival.Earliest), Math.Max(latest, arrival.Latest));
            }
        }
        if (double.IsPositiveInfinity(earliest)) yield break;
        yield return isKnown ? $"after {Span(earliest, latest)}" : latest > 0 ? $"latency unknown, over {Milliseconds(latest)} ms" : "latency unknown";
    }

    /// <summary>The level at a station: the lowest and the highest of its channels in all of these acts.</summary>
    private IEnumerable<string> LevelAt(Station station)
    {
        var levels = new List<Level>();
        var (isThere, isWhole) = (false, true);
        foreach (var view in plan.Facts.Views)
        {
            if (!view.Acts.Meets(acts)) continue;
            foreach (var node in station.Nodes)
            {
                if (!IsThere(node, view.Acts & acts)) continue;
                isThere = true;
                var level = view.Levels.At(node);
                isWhole &= level.IsWhole;
                if (level.Known is { } known) levels.Add(known);
            }
        }
        if (!isThere) yield break;
        // A partly known level tells nothing about the whole.
        if (levels.Count == 0 || !isWhole || levels.Exists(l => l.Reference != levels[0].Reference))
        {
            yield return "level unknown";
            yield break;
        }
        var (low, high) = (levels.Min(l => l.Decibels), levels.Max(l => l.Decibels));
        yield return Level.Signed(low) == Level.Signed(high) ? $"{levels[0] with { Decibels = high }}" : $"{Level.Signed(low)} to {levels[0] with { Decibels = high }}";
    }

    private bool IsThere(int node, ActSet during)
    {
        foreach (var edge in plan.Graph.Into(node))
            if (plan.Graph.ActsOf(edge).Meets(during)) return true;
        foreach (var edge in plan.Graph.OutOf(node))
            if (plan.Graph.ActsOf(edge).Meets(during)) return true;
        return false;
    }

    private SketchedLine Line(Leg leg, SketchedPort from, SketchedPort to, FormatStyle style, Marks marks)
    {
        var first = leg.Edges[0];
        var hop = plan.Graph.HopOf(first);
        var place = plan.PlaceOf(first);
        var codes = leg.Edges.Select(plan.PlaceOf).DistinctBy(p => (p.Source.Path, p.Span.Start)).SelectMany(p => marks.At(p)).Distinct().Order(StringComparer.Ordinal);
        var line = new SketchedLine(from, to, style)
        {
            Text = Lettering.Cut(string.Join(", ", How(leg, hop)), 30),
            Detail = Delay(leg),
            IsToldAtEnd = true,
            Weight = leg.Edges.Count,
            IsImplied = hop.Kind == HopKind.ImpliedCable,
            IsStrong = leg.From.IsOwn && leg.To.IsOwn,
            Marks = [.. codes],
            Place = place,
        };
        line.KeepRoom();
        return line;
    }

    private IEnumerable<string> How(Leg leg, Hop hop)
    {
        var count = leg.Edges.Count > 1 ? $"{leg.Edges.Select(e => (plan.Graph.FromOf(e), plan.Graph.ToOf(e))).Distinct().Count()} × " : "";
        yield return count + hop.Kind switch
        {
            HopKind.Network => hop.Network!.Symbol.Name,
            HopKind.Cable => leg.From.Point.Socket.Format?.Name ?? "cable",
            HopKind.ImpliedCable => "no cable written",
            _ => hop.IsInsert ? "insert" : leg.Edges.Exists(e => plan.Graph.HopOf(e).Alternatives is not null) ? "one at a time" : "inside",
        };
        var taps = leg.Edges.Select(e => plan.Graph.HopOf(e).Tap).Distinct().ToList();
        if (taps is [not Tap.Unstated]) yield return TapWords(taps[0]);
        if (leg.From.Point.Socket.IsInner || leg.To.Point.Socket.Sort == SocketSort.Bus)
        {
            var gains = leg.Edges.Select(e => plan.Graph.HopOf(e).Gain).Distinct().ToList();
            if (gains.Count == 1 && gains[0] is { } gain) yield return $"{(gain > 0 ? "+" : "")}{Quantity.Number(gain)} dB";
            else if (gains.Count > 1) yield return "several gains";
        }
    }

    private static string TapWords(Tap tap) => tap switch { Tap.BeforeAll => "before all", Tap.BeforeFader => "before fader", Tap.AfterFader => "after fader", _ => "" };

    private string Delay(Leg leg)
    {
        var delays = leg.Edges.Select(e => plan.Facts.Delays[e]).ToList();
        if (delays.Exists(d => !d.IsKnown)) return "takes unknown time";
        var (earliest, latest) = (delays.Min(d => d.Earliest), delays.Max(d => d.Latest));
        return latest == 0 ? "" : $"+{Span(earliest, latest)}";
    }

    private static string Span(double earliest, double latest)
    {
        var (low, high) = (Milliseconds(earliest), Milliseconds(latest));
        return low == high ? $"{high} ms" : $"{low} to {high} ms";
    }

    private static string Milliseconds(double seconds) => (seconds * 1000).ToString("0.##", CultureInfo.InvariantCulture);
}
