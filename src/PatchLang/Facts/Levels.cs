using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>
/// The level at every place, computed from the sources on. At a sum, copies of one origin add as voltages and different origins as
/// powers; of alternatives the loudest counts. Unknown contributions are left out, which makes the result a lower bound.
/// A place that clips passes on the most it can carry. Some places are computed on demand, by one thread at a time.
/// </summary>
public sealed class Levels
{
    private const int Broken = -1;
    private const int NoSource = -2;

    private readonly Lock gate = new();
    private readonly SignalGraph graph;
    private readonly SignalView view;
    private double[] powers = []; // of what is known, relative to its reference
    private double[] peaks = []; // as voltages
    private State[] states = [];
    private int[] gaps = []; // the first unknown hop plus 1, or one of the above
    private readonly Dictionary<int, double> over = [];
    private readonly List<Clip> clips = [];
    private readonly Dictionary<(int Place, object Alternatives), (double Power, double Peak)> loudest = [];
    private readonly Dictionary<int, Sum> rejoining = [];
    private int[] firstInto = [];
    private int[] into = [];
    private double lastGain;
    private double lastVoltage = 1;

    internal Levels(SignalGraph graph, SignalView view, WrittenLevels written)
    {
        (this.graph, this.view, Written) = (graph, view, written);
        // If no source has a stated level, nothing can be computed until somebody asks what is missing.
        AreStated = written.HasLevels || graph.Rig.Devices.Any(d => d.Model.HasSourceLevels);
        if (AreStated) WorkOut();
    }

    [Flags]
    private enum State : byte
    {
        None = 0,
        Reached = 1,
        Known = 2,
        FullScale = 4,
        Settled = 8,
    }

    /// <summary>The figures that feeds state.</summary>
    public WrittenLevels Written { get; }

    /// <summary>Whether any source has a stated level, in a feed or by its gear; if not, every level is unknown.</summary>
    public bool AreStated { get; }

    /// <summary>The places that clip.</summary>
    public IReadOnlyList<Clip> Clips => clips;

    /// <summary>The level at a node; for a strip with an insert, after the insert.</summary>
    public LevelAt At(int node)
    {
        lock (gate) return FindAt(node);
    }

    private LevelAt FindAt(int node)
    {
        if (states.Length == 0) WorkOut();
        var place = view.Order.PlaceOf(node);
        if (!Is(place, State.Reached)) Begin(place);
        var isWhole = gaps[place] == 0;
        if (!Is(place, State.Known)) return new LevelAt(null, null, false) { IsBroken = gaps[place] == Broken };
        var reference = ReferenceOf(place);
        return new LevelAt(new Level(Decibels.OfPower(powers[place]), reference), new Level(Decibels.OfVoltage(peaks[place]), reference), isWhole) { IsBroken = gaps[place] == Broken };
    }

    /// <summary>
    /// The headroom at a node: at a converter's input including its gain, at a strip or mix without a limit of its own
    /// up to 0 dBFS.
    /// </summary>
    public Headroom HeadroomAt(int node)
    {
        var level = At(node);
        var point = graph.Rig.PointOf(node);
        if (level.Known is not { } known || MostAt(point, known.Reference) is not { } most) return new Headroom(null, false);
        if (point.Side != Side.In || known.Reference != LevelReference.Line) return new Headroom(most - known.Decibels, level.IsWhole);
        return HopGain.OfInput(Written, point) is { } gain ? new Headroom(most - known.Decibels - gain, level.IsWhole) : new Headroom(null, false);
    }

    /// <summary>Everything unknown that a node's level, or its headroom, depends on; each once.</summary>
    public ImmutableArray<LevelUnknown> UnknownAt(int node)
    {
        lock (gate) return FindUnknownAt(node);
    }

    private ImmutableArray<LevelUnknown> FindUnknownAt(int node)
    {
        if (states.Length == 0) WorkOut();
        IndexHops();
        var found = ImmutableArray.CreateBuilder<LevelUnknown>();
        var said = new HashSet<string>(StringComparer.Ordinal);
        var seen = new HashSet<int>();
        var open = new Stack<int>();
        Open(view.Order.PlaceOf(node));
        while (open.TryPop(out var place))
        {
            if (gaps[place] == NoSource && firstInto[place] == firstInto[place + 1]) Add(LevelGap.Source, -1, view.Order.NodeOf(place));
            for (var i = firstInto[place]; i < firstInto[place + 1]; i++)
            {
                var (edge, from) = (view.Order.Edges[into[i]], view.Order.Froms[into[i]]);
                if (gaps[from] != 0) Open(from);
                if (!Is(from, State.Known)) continue;
                if (HopGain.Of(graph, Written, edge, ReferenceOf(from)) is { IsKnown: false } gain) Add(gain.Gap, edge, graph.FromOf(edge));
            }
        }
        var point = graph.Rig.PointOf(node);
        if (found.Count == 0 && At(node).Known is { } known)
        {
            if (MostAt(point, known.Reference) is null) Add(LevelGap.None, -1, node);
            else if (point.Side == Side.In && HopGain.OfInput(Written, point) is null) Add(LevelGap.InputGain, -1, node);
        }
        found.Sort((a, b) => a.Node.CompareTo(b.Node));
        return found.ToImmutable();

        void Open(int place)
        {
            if (!Is(place, State.Reached)) Begin(place);
            if (seen.Add(place)) open.Push(place);
        }

        void Add(LevelGap gap, int edge, int at)
        {
            var words = LevelGapWords.Of(graph, Acts, gap, edge, at);
            if (said.Add(words)) found.Add(new LevelUnknown(words, edge, at));
        }
    }

    /// <summary>
    /// The parts of a node's level: what each hop contributes to the last mix
    /// before it, the loudest first; if there is no mix, the hop that leads there.
    /// </summary>
    public ImmutableArray<(int Edge, Level Level)> PartsAt(int node)
    {
        lock (gate) return FindPartsAt(node);
    }

    private ImmutableArray<(int Edge, Level Level)> FindPartsAt(int node)
    {
        if (states.Length == 0) WorkOut();
        IndexHops();
        var place = view.Order.PlaceOf(node);
        while (firstInto[place + 1] - firstInto[place] == 1) place = view.Order.Froms[into[firstInto[place]]];
        var parts = ImmutableArray.CreateBuilder<(int Edge, Level Level)>();
        for (var i = firstInto[place]; i < firstInto[place + 1]; i++)
        {
            var (edge, from) = (view.Order.Edges[into[i]], view.Order.Froms[into[i]]);
            if (!Is(from, State.Known)) continue;
            var gain = HopGain.Of(graph, Written, edge, ReferenceOf(from));
            if (gain.IsKnown) parts.Add((edge, new Level(Decibels.OfPower(powers[from]) + gain.Decibels - OverAt(from), gain.Reference)));
        }
        parts.Sort((a, b) => b.Level.Decibels.CompareTo(a.Level.Decibels));
        return parts.ToImmutable();
    }

    private ActSet Acts => view.Acts;

    private bool Is(int place, State state) => states[place].HasFlag(state);

    private LevelReference ReferenceOf(int place) => Is(place, State.FullScale) ? LevelReference.FullScale : LevelReference.Line;

    /// <summary>The highest level a place can carry: as its gear states, or full scale. Null if not stated.</summary>
    private static double? MostAt(GraphPoint point, LevelReference reference)
    {
        var levels = point.Socket.Levels;
        if (levels.ClipsAt is { } limit && limit.Reference == reference) return limit.Decibels;
        if (reference == LevelReference.FullScale) return 0;
        return levels.FullScale + (point.Side == Side.Out ? levels.FixedGain ?? 0 : 0);
    }

    /// <summary>Whether a level above that limit clips. A strip or mix in floating point has no limit.</summary>
    private static bool HasEnd(GraphPoint point, LevelReference reference) =>
        !point.Socket.IsInner || (point.Socket.Levels.ClipsAt is { } limit && limit.Reference == reference);

    private void WorkOut()
    {
        var order = view.Order;
        var places = order.PlaceCount;
        (powers, peaks, states, gaps) = (new double[places], new double[places], new State[places], new int[places]);
        foreach (var node in graph.UnknownSources) gaps[node] = Broken;
        if (order.HasCircles)
            for (var place = 0; place < gaps.Length; place++)
                if (order.IsInCircle(place)) gaps[place] = Broken;
        var edges = order.Edges;
        var froms = order.Froms;
        var tos = order.Tos;
        if (HasSources(froms))
            foreach (var sum in view.Rejoining)
                if (sum.Sort == SumSort.Bus) rejoining[sum.Node] = sum;
        for (var i = 0; i < edges.Length; i++)
        {
            var (from, to) = (froms[i], tos[i]);
            if (!Is(from, State.Settled)) Settle(from);
            Take(i, edges[i], from, to);
        }
        foreach (var to in tos)
            if (!Is(to, State.Settled)) Settle(to);
    }

    /// <summary>Whether any source has a known level; if not, there is nothing to add up.</summary>
    private bool HasSources(ReadOnlySpan<int> froms)
    {
        foreach (var tos in view.Order.Tos) states[tos] |= State.Reached;
        var any = false;
        foreach (var from in froms)
        {
            if (!Is(from, State.Reached)) Begin(from);
            any |= Is(from, State.Known);
        }
        return any;
    }

    /// <summary>Sets the level of a source to what is stated for it.</summary>
    private void Begin(int place)
    {
        states[place] |= State.Reached;
        if (gaps[place] == Broken) return;
        var node = view.Order.NodeOf(place);
        var socket = graph.Rig.PointOf(node).Socket;
        if ((Written.LevelOf(node) ?? socket.Levels.Source) is not { } level)
        {
            gaps[place] = NoSource;
            return;
        }
        // At an analogue socket that states its full scale in volts, dBFS can be converted to dBu.
        if (level.Reference == LevelReference.FullScale && socket.Format is { IsDigital: false } && socket.Levels.FullScale is { } full) level = Level.Dbu(level.Decibels + full);
        powers[place] = Decibels.ToPower(level.Decibels);
        peaks[place] = Decibels.ToVoltage(level.Decibels);
        states[place] |= level.Reference == LevelReference.FullScale ? State.Known | State.FullScale : State.Known;
    }

    /// <summary>Adds the contribution of a hop.</summary>
    private void Take(int hop, int edge, int from, int to)
    {
        if (gaps[to] == Broken) return;
        if (Written.IsImpossible(view.Order.NodeOf(from)))
        {
            gaps[to] = Broken;
            return;
        }
        if (gaps[from] != 0 && gaps[to] == 0) gaps[to] = gaps[from];
        if (!Is(from, State.Known)) return;
        var gain = HopGain.Of(graph, Written, edge, ReferenceOf(from));
        var isOther = Is(to, State.Known) && gain.Reference != ReferenceOf(to);
        if (!gain.IsKnown || isOther)
        {
            if (gaps[to] == 0) gaps[to] = hop + 1;
            return;
        }
        if (!Is(to, State.Known)) states[to] |= gain.Reference == LevelReference.FullScale ? State.Known | State.FullScale : State.Known;
        var voltage = VoltageOf(gain.Decibels - OverAt(from));
        var (power, peak) = (powers[from] * voltage * voltage, peaks[from] * voltage);
        if (AlternativesOf(edge, to) is { } alternatives)
        {
            var before = loudest.GetValueOrDefault((to, alternatives));
            if (power <= before.Power) return;
            loudest[(to, alternatives)] = (power, peak);
            (power, peak) = (power - before.Power, peak - before.Peak);
        }
        powers[to] += power;
        peaks[to] += peak;
    }

    /// <summary>
    /// The choice that a hop is an alternative of; null if none. At a place that takes a single source, all hops to it are alternatives.
    /// </summary>
    private object? AlternativesOf(int edge, int to)
    {
        var hop = graph.HopOf(edge);
        if (hop.Alternatives is not null) return hop.Alternatives;
        if (hop.Route is { Sort: RouteSort.Either }) return hop.Route;
        return graph.Rig.PointOf(view.Order.NodeOf(to)).Socket.Sort == SocketSort.Bus || graph.Into(view.Order.NodeOf(to)).Length < 2 ? null : this;
    }

    private double OverAt(int place) => over.Count > 0 && over.TryGetValue(place, out var decibels) ? decibels : 0;

    // Most hops have the same gain as the one before.
    private double VoltageOf(double decibels)
    {
        if (decibels == 0) return 1;
        if (decibels == lastGain) return lastVoltage;
        lastGain = decibels;
        return lastVoltage = Decibels.ToVoltage(decibels);
    }

    /// <summary>Called when all hops to a place have been added: corrects the sum for copies of one origin, and detects clipping.</summary>
    private void Settle(int place)
    {
        states[place] |= State.Settled;
        if (!Is(place, State.Known)) return;
        if (rejoining.Count > 0 && rejoining.TryGetValue(view.Order.NodeOf(place), out var sum)) AddCopies(place, sum);
        var point = graph.Rig.PointOf(view.Order.NodeOf(place));
        var reference = ReferenceOf(place);
        if (!HasEnd(point, reference) || MostAt(point, reference) is not { } most) return;
        double gain = 0;
        var isLeast = false;
        if (point.Side == Side.In && reference == LevelReference.Line)
        {
            isLeast = HopGain.OfInput(Written, point) is null;
            gain = HopGain.OfInput(Written, point) ?? point.Socket.Levels.Gain!.Value.Least - (Written.PadOf(point.Node) ?? 0);
        }
        var level = Decibels.OfPower(powers[place]) + gain;
        const double Rounding = 1e-6;
        if (level <= most + Rounding) return;
        clips.Add(new Clip(point.Node, new Level(level, reference), new Level(most, reference)) { IsAtLeastGain = isLeast });
        over.Add(place, level - most);
    }

    /// <summary>Replaces the power sum of the copies of one origin by their voltage sum.</summary>
    private void AddCopies(int place, Sum sum)
    {
        foreach (var shared in sum.Shared)
        {
            double voltage = 0, power = 0;
            Dictionary<int, double>? memo = null;
            foreach (var way in shared.Ways)
            {
                var copy = way.StandsForSeveral ? Through(shared.Origin, way, memo ??= []) : Along(way);
                voltage += copy;
                power += copy * copy;
            }
            powers[place] = Math.Max(0, powers[place] + voltage * voltage - power);
        }
    }

    /// <summary>The voltage contributed over one way; 0 if it is unknown, and so was not added.</summary>
    private double Along(Way way)
    {
        var first = way.Edges[0];
        var node = graph.FromOf(first);
        var place = graph.HopOf(first).Tap == Tap.BeforeAll ? node : view.Order.PlaceOf(node);
        if (!Is(place, State.Known)) return 0;
        var reference = ReferenceOf(place);
        var decibels = -OverAt(place);
        foreach (var edge in way.Edges)
        {
            var gain = HopGain.Of(graph, Written, edge, reference);
            if (!gain.IsKnown) return 0;
            decibels += gain.Decibels - (edge == first ? 0 : OverAt(view.Order.PlaceOf(graph.FromOf(edge))));
            reference = gain.Reference;
        }
        return Math.Sqrt(powers[place]) * Decibels.ToVoltage(decibels);
    }

    /// <summary>The voltage that an origin contributes over ways that already met in an earlier sum.</summary>
    private double Through(int origin, Way way, Dictionary<int, double> memo)
    {
        IndexHops();
        var last = way.Edges[^1];
        var from = graph.HopOf(last).Tap == Tap.BeforeAll ? graph.FromOf(last) : view.Order.PlaceOf(graph.FromOf(last));
        return At(from) * GainOver(last, from);

        double At(int place)
        {
            if (view.Order.NodeOf(place) == origin) return Is(place, State.Known) ? Math.Sqrt(powers[place]) : 0;
            if (memo.TryGetValue(place, out var known)) return known;
            double voltage = 0;
            for (var i = firstInto[place]; i < firstInto[place + 1]; i++)
            {
                var before = view.Order.Froms[into[i]];
                voltage += At(before) * GainOver(view.Order.Edges[into[i]], before);
            }
            return memo[place] = voltage;
        }

        double GainOver(int edge, int place)
        {
            if (!Is(place, State.Known)) return 0;
            var gain = HopGain.Of(graph, Written, edge, ReferenceOf(place));
            return gain.IsKnown ? Decibels.ToVoltage(gain.Decibels - OverAt(place)) : 0;
        }
    }

    /// <summary>Builds the lists of hops into each place.</summary>
    private void IndexHops()
    {
        if (firstInto.Length > 0) return;
        var tos = view.Order.Tos;
        firstInto = new int[view.Order.PlaceCount + 1];
        foreach (var to in tos) firstInto[to]++;
        for (var i = 1; i < firstInto.Length; i++) firstInto[i] += firstInto[i - 1];
        into = new int[tos.Length];
        for (var i = tos.Length - 1; i >= 0; i--) into[--firstInto[tos[i]]] = i;
    }
}
