using System.Buffers;
using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>
/// Finds the sums at which one origin arrives over several ways. A place with a single source has its source's origin, so the graph
/// condenses to sums and the chains between them. For each sum, a backward search runs only if one of its sources is itself a sum, or
/// two of them have the same origin.
/// </summary>
internal sealed class Origins
{
    private readonly SignalGraph graph;
    private readonly SignalView view;
    private readonly Delays delays;
    private readonly AlignedBuses aligned;

    private readonly int[] roots; // each place's origin: the nearest place upstream that does not have exactly one source
    private readonly int[] sources; // a hop into each place plus 1; 0 if there is none
    private readonly int[] counts; // the number of sources of each place
    private readonly List<int> sums = []; // in topological order
    private readonly Dictionary<int, int> numbers = []; // the number of each sum, by place
    private int[] firstInputs = [];
    private int[] inputs = []; // the hops into each sum, sum by sum

    // State of the search behind one sum: which of its inputs reach a place, and how.
    private readonly int[] reachOf; // by place: the first reach plus 1; valid only if `searchOf` has the current search's number
    private readonly int[] searchOf;
    private readonly List<Reach> reaches = [];
    private readonly PriorityQueue<int, int> open = new();
    private readonly List<int> met = [];
    private readonly Dictionary<int, int> groups = []; // the number of reaches of each group at places not yet visited
    private int search;

    private Origins(SignalGraph graph, SignalView view, Delays delays)
    {
        (this.graph, this.view, this.delays) = (graph, view, delays);
        aligned = AlignedBuses.Of(graph.Rig);
        var places = view.Order.PlaceCount;
        (roots, sources, counts, reachOf, searchOf) = (Lease(places), Lease(places), Lease(places), Lease(places), Lease(places));
    }

    /// <summary>Whether there is any sum, in whatever act.</summary>
    public static bool MayRejoin(SignalGraph graph)
    {
        foreach (var _ in graph.Meetings) return true;
        return OwnMixers.AreThere(graph.Rig);
    }

    public static ImmutableArray<Sum> Find(SignalGraph graph, SignalView view, Delays delays)
    {
        var origins = new Origins(graph, view, delays);
        origins.Condense();
        var found = origins.FindAll();
        origins.Return();
        return found;
    }

    private static int[] Lease(int length)
    {
        var leased = ArrayPool<int>.Shared.Rent(length);
        Array.Clear(leased, 0, length);
        return leased;
    }

    private void Return()
    {
        foreach (var leased in (ReadOnlySpan<int[]>)[roots, sources, counts, reachOf, searchOf]) ArrayPool<int>.Shared.Return(leased);
    }

    /// <summary>One of a sum's inputs that is reached from a place.</summary>
    /// <param name="Group">The number of the input; alternatives share that of the first.</param>
    /// <param name="LeavesAt">The last place on the way that has the same origin.</param>
    /// <param name="Hop">The hop that leaves it; −1 if it is the sum's own socket.</param>
    /// <param name="Via">The reach that the way continues with, at the sum that hop leads to; −1 if that is the sum of the search.</param>
    /// <param name="Next">The next reach of the same place, as a linked list; −1 at the end.</param>
    private readonly record struct Reach(int Group, int LeavesAt, int Hop, int Via, int Next)
    {
        /// <summary>The delay range of the several ways that this reach stands for; null if it is a single way.</summary>
        public Delay? Several { get; init; }
    }

    // Condenses places into chains, which have their source's origin, and sums.
    private void Condense()
    {
        var froms = view.Order.Froms;
        var tos = view.Order.Tos;
        for (var i = 0; i < tos.Length; i++)
            if (++counts[tos[i]] == 1) sources[tos[i]] = i + 1;
        var last = new Dictionary<int, int>();
        for (var i = 0; i < tos.Length; i++)
        {
            var (from, to) = (froms[i], tos[i]);
            if (counts[from] != 1) roots[from] = from;
            roots[to] = counts[to] == 1 ? roots[from] : to;
            if (counts[to] > 1) last[to] = i;
        }
        if (last.Count == 0) return;
        sums.AddRange(last.OrderBy(l => l.Value).Select(l => l.Key));
        firstInputs = new int[sums.Count + 1];
        for (var s = 0; s < sums.Count; s++)
        {
            numbers.Add(sums[s], s);
            firstInputs[s + 1] = firstInputs[s] + counts[sums[s]];
        }
        inputs = new int[firstInputs[^1]];
        var filled = new int[sums.Count];
        for (var i = 0; i < tos.Length; i++)
            if (counts[tos[i]] > 1 && numbers[tos[i]] is var s) inputs[firstInputs[s] + filled[s]++] = i;
    }

    private ReadOnlySpan<int> InputsOf(int sum) => inputs.AsSpan(firstInputs[sum], firstInputs[sum + 1] - firstInputs[sum]);

    private bool IsSum(int place) => counts[place] > 1;

    private ImmutableArray<Sum> FindAll()
    {
        var found = ImmutableArray.CreateBuilder<Sum>();
        for (var s = 0; s < sums.Count; s++)
        {
            var hops = InputsOf(s);
            if (view.Order.IsInCircle(sums[s]) || !MayRejoin(hops)) continue;
            Begin();
            for (var i = 0; i < hops.Length; i++) Add(view.Order.Froms[hops[i]], new Reach(GroupOf(hops, i), view.Order.Froms[hops[i]], hops[i], -1, -1));
            var isBus = graph.Rig.PointOf(view.Order.NodeOf(sums[s])).Socket.Sort == SocketSort.Bus;
            Finish(found, isBus ? SumSort.Bus : SumSort.Point, view.Order.NodeOf(sums[s]), aligned.Contains(sums[s]));
        }
        foreach (var mixer in OwnMixers.Of(graph, view.Order))
        {
            Begin();
            for (var i = 0; i < mixer.Length; i++) Add(mixer[i], new Reach(i, mixer[i], -1, -1, -1));
            Finish(found, SumSort.OwnMixer, mixer[0], false);
        }
        return found.DrainToImmutable();
    }

    private void Finish(ImmutableArray<Sum>.Builder found, SumSort sort, int node, bool isAligned)
    {
        var shared = Search();
        if (!shared.IsEmpty) found.Add(new Sum(sort, node, shared) { IsAligned = isAligned });
    }

    // Whether a search is needed: a source is itself a sum, or two have the same origin.
    private bool MayRejoin(ReadOnlySpan<int> hops)
    {
        search++;
        foreach (var hop in hops)
        {
            var root = roots[view.Order.Froms[hop]];
            if (IsSum(root) || searchOf[root] == search) return true;
            searchOf[root] = search;
        }
        return false;
    }

    /// <summary>The first of the inputs that an input is an alternative to; itself if none. Only one of them sounds at a time.</summary>
    private int GroupOf(ReadOnlySpan<int> hops, int input)
    {
        var hop = graph.HopOf(view.Order.Edges[hops[input]]);
        var route = hop.Route is { Sort: RouteSort.Either } either ? either : null;
        if (hop.Alternatives is null && route is null) return input;
        for (var other = 0; other < input; other++)
        {
            var its = graph.HopOf(view.Order.Edges[hops[other]]);
            if ((hop.Alternatives is not null && hop.Alternatives == its.Alternatives) || (route is not null && route == its.Route)) return other;
        }
        return input;
    }

    private void Begin()
    {
        search++;
        reaches.Clear();
        open.Clear();
        met.Clear();
        groups.Clear();
    }

    private void Add(int from, Reach reach)
    {
        var root = roots[from];
        if (searchOf[root] != search)
        {
            searchOf[root] = search;
            reachOf[root] = 0;
            if (IsSum(root)) open.Enqueue(root, -numbers[root]);
            else met.Add(root);
        }
        // Ways of one input that met before are one way from the place where they start.
        for (int at = reachOf[root] - 1, before = -1; at >= 0; before = at, at = reaches[at].Next)
        {
            if (reaches[at].Group != reach.Group) continue;
            var (one, other) = (Since(root, reaches[at]), Since(root, reach));
            reaches[at] = reaches[at] with
            {
                Several = new Delay(Math.Min(one.Earliest, other.Earliest), Math.Max(one.Latest, other.Latest), one.Unsettled ?? other.Unsettled),
            };
            return;
        }
        reaches.Add(reach with { Next = reachOf[root] - 1 });
        reachOf[root] = reaches.Count;
        groups[reach.Group] = groups.GetValueOrDefault(reach.Group) + 1;
    }

    private void Forget(int group)
    {
        if (--groups[group] == 0) groups.Remove(group);
    }

    // Sums are visited in reverse topological order, so that all ways from a sum are known at its turn.
    private ImmutableArray<SharedOrigin> Search()
    {
        var shared = ImmutableArray.CreateBuilder<SharedOrigin>();
        // With a single input left, no origin further back can be shared: stop.
        while (groups.Count > 1 && open.TryDequeue(out var sum, out _))
        {
            Take(sum, shared);
            for (var at = reachOf[sum] - 1; at >= 0; at = reaches[at].Next) Forget(reaches[at].Group);
            // Ways reported as shared here are one way further back: one of them continues for all.
            var via = reachOf[sum] - 1;
            while (reaches[via].Next >= 0) via = reaches[via].Next;
            foreach (var hop in InputsOf(numbers[sum]))
                Add(view.Order.Froms[hop], new Reach(reaches[via].Group, view.Order.Froms[hop], hop, via, -1));
        }
        foreach (var source in met) Take(source, shared);
        return shared.DrainToImmutable();
    }

    private void Take(int root, ImmutableArray<SharedOrigin>.Builder shared)
    {
        if (reaches[reachOf[root] - 1].Next < 0) return;
        var ways = new List<(Reach Reach, List<int> Trunk)>();
        for (var at = reachOf[root] - 1; at >= 0; at = reaches[at].Next) ways.Add((reaches[at], Trunk(root, reaches[at])));
        ways.Reverse(); // into the order of the inputs
        // A reach that stands for several ways has no trunk common to all of them.
        var common = ways.Exists(w => w.Reach.Several is not null) ? 0 : ways.Min(w => w.Trunk.Count);
        for (var i = 0; i < common; i++)
            if (ways.Exists(w => w.Trunk[i] != ways[0].Trunk[i])) common = i;
        var parting = common == 0 ? root : view.Order.Tos[ways[0].Trunk[common - 1]];
        shared.Add(new SharedOrigin(view.Order.NodeOf(root), view.Order.NodeOf(parting), [.. ways.Select(w => MakeWay(w.Reach, w.Trunk, common))]));
    }

    private Way MakeWay(Reach reach, List<int> trunk, int common)
    {
        var hops = trunk.Skip(common).Concat(Tail(reach)).ToList();
        var edges = hops.ConvertAll(h => view.Order.Edges[h]);
        if (reach.Several is { } several) return new Way([.. edges], several, null) { StandsForSeveral = true };
        var delay = Delay.None;
        foreach (var hop in hops) delay += DelayOf(hop);
        return new Way([.. edges], delay, HopGain.Along(graph, view.Written, edges));
    }

    /// <summary>
    /// The hops from an origin to where a way leaves its chain; none if the reach stands for several ways, which part at the origin.
    /// </summary>
    private List<int> Trunk(int root, Reach reach)
    {
        var hops = new List<int>();
        for (var place = reach.LeavesAt; place != root; place = view.Order.Froms[sources[place] - 1]) hops.Add(sources[place] - 1);
        hops.Reverse();
        return hops;
    }

    /// <summary>The hops from where a way leaves its origin's chain to the sum.</summary>
    private List<int> Tail(Reach reach)
    {
        var hops = new List<int>();
        while (reach.Hop >= 0)
        {
            hops.Add(reach.Hop);
            if (reach.Via < 0) break;
            var sum = view.Order.Tos[reach.Hop];
            reach = reaches[reach.Via];
            hops.AddRange(Trunk(sum, reach));
        }
        return hops;
    }

    private Delay Since(int root, Reach reach)
    {
        if (reach.Several is { } several) return several;
        var delay = Delay.None;
        foreach (var hop in Trunk(root, reach)) delay += DelayOf(hop);
        foreach (var hop in Tail(reach)) delay += DelayOf(hop);
        return delay;
    }

    /// <summary>The delay of a hop, including what an aligned bus adds to align it.</summary>
    private Delay DelayOf(int hop)
    {
        var (from, to) = (view.Order.Froms[hop], view.Order.Tos[hop]);
        var delay = delays[view.Order.Edges[hop]];
        if (!aligned.Contains(to)) return delay;
        var (leaves, arrives) = (view.ArrivalAtPlace(from), view.ArrivalAtPlace(to));
        return new Delay(arrives.Earliest - leaves.Earliest, arrives.Latest - leaves.Latest, arrives.Unknown is >= 0 and var edge ? delays[edge].Unsettled : delay.Unsettled);
    }
}
