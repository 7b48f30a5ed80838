using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>
/// What changes for listeners and recorders: sources that come or go, arrival times, and points on the way where gains differ. Only what
/// is downstream of a different hop is examined.
/// </summary>
internal sealed class Listening(Counterparts pairs, Routes old, Routes @new)
{
    /// <summary>Arrivals that differ by less, in seconds, count as equal: the difference is due to rounding.</summary>
    private const double LeastSeconds = 1e-6;

    private readonly Dictionary<(ChangeKind, string Listener, string Aspect, string? Was, string? Now), (UInt128 Slots, Place? Old, Place? New)> found = [];

    public IEnumerable<PlanChange> Find()
    {
        foreach (var was in pairs.Old.Plan.Facts.Views)
            foreach (var now in pairs.New.Plan.Facts.Views)
                if ((pairs.Old.Slots(was.Acts) & pairs.New.Slots(now.Acts)) is var slots && slots != 0)
                    Compare(new Ear(pairs.Old, old, was), new Ear(pairs.New, @new, now), slots);
        foreach (var ((kind, listener, aspect, was, now), (slots, oldPlace, newPlace)) in found)
            yield return new PlanChange(kind, listener, was, now) { Aspect = aspect, Acts = pairs.ActsOf(slots), OldPlace = oldPlace, NewPlace = newPlace };
    }

    private void Compare(Ear was, Ear now, UInt128 slots)
    {
        var (gone, louderWas) = was.DiffersFrom(now);
        var (come, louderNow) = now.DiffersFrom(was);
        var touched = was.Behind(gone.Concat(louderWas.Keys)).Concat(now.Behind(come.Concat(louderNow.Keys))).ToHashSet();
        foreach (var listener in was.Listeners.Keys.Concat(now.Listeners.Keys).Distinct())
        {
            var name = pairs.NameOf(listener);
            var (before, after) = (was.PlaceOf(listener), now.PlaceOf(listener));
            if (touched.Contains(listener)) CompareSources(name, listener, (was, louderWas), (now, louderNow), slots, before, after);
            if (was.LevelAt(listener) is { } loud && now.LevelAt(listener) is { } louder && loud != louder) Add(ChangeKind.Level, name, "", loud, louder, slots, before, after);
            var (arrived, arrives) = (was.ArrivalAt(listener), now.ArrivalAt(listener));
            if (arrived is not { } a || arrives is not { } b || a.IsBroken || b.IsBroken || Text(a) is var textWas && Text(b) is var textNow && textWas == textNow) continue;
            if (a.IsKnown && b.IsKnown && Math.Abs(a.Earliest - b.Earliest) < LeastSeconds && Math.Abs(a.Latest - b.Latest) < LeastSeconds) continue;
            Add(ChangeKind.Latency, name, "", Text(a), Text(b), slots, before, after);
        }
    }

    private void CompareSources(string name, int listener, (Ear Ear, Dictionary<int, SortedSet<string>> Balance) was, (Ear Ear, Dictionary<int, SortedSet<string>> Balance) now, UInt128 slots, Place? before, Place? after)
    {
        var (heardWas, wayWas, isWholeWas) = was.Ear.Hear(listener);
        var (heardNow, wayNow, isWholeNow) = now.Ear.Hear(listener);
        // Downstream of an unresolved way, a source that seems missing may still be there.
        if (isWholeNow)
            foreach (var source in heardWas.Keys.Except(heardNow.Keys)) Add(ChangeKind.Heard, name, source, heardWas[source], null, slots, before, after);
        if (isWholeWas)
            foreach (var source in heardNow.Keys.Except(heardWas.Keys)) Add(ChangeKind.Heard, name, source, null, heardNow[source], slots, before, after);
        var differs = now.Balance.Keys.Where(l => wayWas.Contains(l) && wayNow.Contains(l)).OrderBy(pairs.NameOf, NaturalOrder.Instance).ToList();
        if (differs.Count > 0) Add(ChangeKind.Balance, name, string.Join(", ", differs.Select(pairs.NameOf)), Hows(was.Balance), Hows(now.Balance), slots, before, after);

        string Hows(Dictionary<int, SortedSet<string>> balance) => string.Join("; ", differs.SelectMany(d => balance[d]).Select(h => h.Length == 0 ? "by ear" : h).Distinct().Order(StringComparer.Ordinal));
    }

    private void Add(ChangeKind kind, string listener, string aspect, string? was, string? now, UInt128 slots, Place? before, Place? after)
    {
        var key = (kind, listener, aspect, was, now);
        found[key] = found.TryGetValue(key, out var known) ? (known.Slots | slots, known.Old ?? before, known.New ?? after) : (slots, before, after);
    }

    private static string Text(Arrival arrival)
    {
        var (earliest, latest) = (Milliseconds(arrival.Earliest), Milliseconds(arrival.Latest));
        return $"{(earliest == latest ? latest : $"{earliest} to {latest}")} ms{(arrival.IsKnown ? "" : " and what is unknown")}";
    }

    private static string Milliseconds(double seconds) => (seconds * 1e3).ToString("0.##", CultureInfo.InvariantCulture);

    /// <summary>One plan, in acts in which all its hops are the same.</summary>
    private sealed class Ear
    {
        private readonly PlanSide side;
        private readonly Routes routes;
        private readonly SignalView view;
        private readonly Dictionary<(int From, int To), string> hops;

        public Ear(PlanSide side, Routes routes, SignalView view)
        {
            (this.side, this.routes, this.view) = (side, routes, view);
            var graph = side.Plan.Graph;
            hops = new Dictionary<(int, int), string>(graph.EdgeCount);
            for (var edge = 0; edge < graph.EdgeCount; edge++)
            {
                if (!graph.ActsOf(edge).Meets(view.Acts)) continue;
                var (from, to) = (side.Node(graph.FromOf(edge)), side.Node(graph.ToOf(edge)));
                hops[(from, to)] = routes.HowOf(graph.HopOf(edge));
                if (!Listeners.ContainsKey(to) && IsListened(graph, edge)) Listeners.Add(to, edge);
            }
            // A listener whose sound is passed on to another listener is not the place where it is heard.
            foreach (var (from, to) in hops.Keys)
                if (Listeners.ContainsKey(to)) Listeners.Remove(from);
        }

        /// <summary>The nodes where someone listens, something records, or a public feed ends; each with a hop that leads there.</summary>
        public Dictionary<int, int> Listeners { get; } = [];

        public Place? PlaceOf(int listener) => Listeners.TryGetValue(listener, out var edge) ? side.Plan.PlaceOf(edge) : null;

        public Arrival? ArrivalAt(int listener) => Listeners.ContainsKey(listener) ? view.ArrivalAt(side.Own(listener)) : null;

        /// <summary>The level in words; null if the point is no listener, or its level is broken by something that has a finding.</summary>
        public string? LevelAt(int listener)
        {
            if (!Listeners.ContainsKey(listener)) return null;
            var level = view.Levels.At(side.Own(listener));
            if (level.IsBroken) return null;
            return level.Known is { } known ? $"{(level.IsWhole ? "" : "at least ")}{known}" : "unknown";
        }

        /// <summary>
        /// The nodes after hops that the other plan lacks, and those after hops whose tap or gain differs there, with the values of this plan.
        /// </summary>
        public (HashSet<int> Own, Dictionary<int, SortedSet<string>> Otherwise) DiffersFrom(Ear other)
        {
            var (own, otherwise) = (new HashSet<int>(), new Dictionary<int, SortedSet<string>>());
            foreach (var (hop, how) in hops)
                if (!other.hops.TryGetValue(hop, out var there)) own.Add(hop.To);
                else if (there != how) (otherwise.TryGetValue(hop.To, out var hows) ? hows : otherwise[hop.To] = new SortedSet<string>(StringComparer.Ordinal)).Add(how);
            return (own, otherwise);
        }

        /// <summary>The listeners that are downstream of some points.</summary>
        public IEnumerable<int> Behind(IEnumerable<int> points)
        {
            var graph = side.Plan.Graph;
            var seen = points.Select(side.Own).Where(n => n >= 0).ToHashSet();
            var open = new Stack<int>(seen);
            while (open.TryPop(out var node))
                foreach (var edge in graph.OutOf(node))
                    if (graph.ActsOf(edge).Meets(view.Acts) && seen.Add(graph.ToOf(edge))) open.Push(graph.ToOf(edge));
            return seen.Select(side.Node).Where(Listeners.ContainsKey);
        }

        /// <summary>
        /// The sources heard at a listener, by identity and with their titles; the points on their ways; and whether these are all sources.
        /// </summary>
        public (Dictionary<string, string> Sources, HashSet<int> Ways, bool IsWhole) Hear(int listener)
        {
            var sources = new Dictionary<string, string>(StringComparer.Ordinal);
            var ways = new HashSet<int> { listener };
            if (!Listeners.ContainsKey(listener)) return (sources, ways, true);
            var isWhole = ArrivalAt(listener) is not { IsBroken: true };
            var graph = side.Plan.Graph;
            var open = new Stack<int>([side.Own(listener)]);
            while (open.TryPop(out var node))
            {
                var isFed = false;
                foreach (var edge in graph.Into(node))
                {
                    if (!graph.ActsOf(edge).Meets(view.Acts)) continue;
                    isFed = true;
                    if (ways.Add(side.Node(graph.FromOf(edge)))) open.Push(graph.FromOf(edge));
                }
                if (!isFed) isWhole &= AddSource(node, sources);
            }
            return (sources, ways, isWhole);
        }

        /// <summary>
        /// Adds a source, identified by the feed that starts there, wherever it is plugged in, or else by its socket. False if no feed
        /// starts there and the plan has broken ways: one of them may break off there.
        /// </summary>
        private bool AddSource(int node, Dictionary<string, string> sources)
        {
            var graph = side.Plan.Graph;
            foreach (var edge in graph.OutOf(node))
            {
                var way = side.Plan.WayOf(edge);
                if (way.Origin != WayOrigin.Socket || !way.Acts.Meets(view.Acts)) continue;
                for (var element = 0; element < way.Count; element++)
                    if (way.StopsOf(element) is [var start, ..] && start.Point.Node == node) sources.TryAdd(side.NameOf(way, element), way.TitleOf(element));
                return true;
            }
            if (side.Broken.Count > 0) return false;
            var name = side.NameOf(side.Rig.PointOf(node));
            sources.TryAdd(name, name);
            return true;
        }

        private bool IsListened(SignalGraph graph, int edge)
        {
            var socket = side.Rig.PointOf(graph.ToOf(edge)).Socket;
            return socket.Settings.Has("listener") || socket.Settings.Has("recorder") || (side.Plan.WayOf(edge) is { IsPublic: true } way && Ends(way, graph.ToOf(edge)));
        }

        private static bool Ends(FeedWay way, int node)
        {
            for (var element = 0; element < way.Count; element++)
                foreach (var end in way.EndsOf(element))
                    if (end.Node == node) return true;
            return false;
        }
    }
}
