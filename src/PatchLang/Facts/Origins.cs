using System.Buffers;
using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>
/// Finds the sums at which one origin arrives over several ways. A place with one source has its source's origin, so that
/// only sums, and what leads from one to the next, are left; behind a sum a search goes back only where one of its sources
/// is itself a sum, or two share an origin.
/// </summary>
internal sealed class Origins
{
    private readonly SignalGraph graph;
    private readonly SignalView view;
    private readonly Delays delays;
    private readonly AlignedBuses aligned;

    private readonly int[] roots; // each place's origin: the next place upstream that has not exactly one source
    private readonly int[] sources; // the hop into each place, if there is one, and 1
    private readonly int[] counts; // how many sources each place has
    private readonly List<int> sums = []; // in an order in which each stands behind those it hears
    private readonly Dictionary<int, int> numbers = []; // of sums, by place
    private int[] firstInputs = [];
    private int[] inputs = []; // hops, sum by sum

    // The search behind one sum: which of its inputs reach a place, and how.
    private readonly int[] reachOf; // by place: the first reach and 1; kept true to the search at hand by its number
    private readonly int[] searchOf;
    private readonly List<Reach> reaches = [];
    private readonly PriorityQueue<int, int> open = new();
    private readonly List<int> met = [];
    private readonly Dictionary<int, int> groups = []; // how many reaches of each group there are at places that were not taken
    private int search;

    private Origins(SignalGraph graph, SignalView view, Delays delays)
    {
        (this.graph, this.view, this.delays) = (graph, view, delays);
        aligned = AlignedBuses.Of(graph.Rig);
        var places = view.Order.PlaceCount;
        (roots, sources, counts, reachOf, searchOf) = (Lease(places), Lease(places), Lease(places), Lease(places), Lease(places));
    }

    /// <summary>Whether there is a sum at all, in whatever act.</summary>
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

    /// <summary>One of a sum's inputs reaches a place.</summary>
    /// <param name="Group">Which of the sum's inputs; alternatives count as one.</param>
    /// <param name="LeavesAt">The last place of the way that has the same origin.</param>
    /// <param name="Hop">The hop that leaves it; −1 where it is the sum's own socket.</param>
    /// <param name="Via">The reach it leads on to, of the sum behind that hop; −1 where that is the sum itself.</param>
    /// <param name="Next">The next reach of the same place; −1 if there is none.</param>
    private readonly record struct Reach(int Group, int LeavesAt, int Hop, int Via, int Next)
    {
        /// <summary>What the several ways from the place take that this one stands for; null where it is one.</summary>
        public Delay? Several { get; init; }
    }

    // Sorts places into chains, which have their source's origin, and sums.
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

    // Whether a source is itself a sum, or two share an origin.
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

    /// <summary>The first of the inputs that an input is an alternative to: one of them at a time.</summary>
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
        // Ways by one input had met before: from the place they start at they are one.
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

    // The sums that stand last come first, so that all ways to a place are known when its turn comes.
    private ImmutableArray<SharedOrigin> Search()
    {
        var shared = ImmutableArray.CreateBuilder<SharedOrigin>();
        // What only one of the inputs still reaches is shared by no two, however far it goes back.
        while (groups.Count > 1 && open.TryDequeue(out var sum, out _))
        {
            Take(sum, shared);
            for (var at = reachOf[sum] - 1; at >= 0; at = reaches[at].Next) Forget(reaches[at].Group);
            // Of ways that were told as shared here, one goes on for all: behind this sum they are one.
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
        ways.Reverse(); // in the order of the inputs
        // A way that stands for several has no trunk that all of them share.
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

    /// <summary>The hops from an origin to where a way leaves its chain; none where the way stands for several, which part at the origin.</summary>
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

    /// <summary>What a hop takes, and what an aligned bus adds to bring it into step.</summary>
    private Delay DelayOf(int hop)
    {
        var (from, to) = (view.Order.Froms[hop], view.Order.Tos[hop]);
        var delay = delays[view.Order.Edges[hop]];
        if (!aligned.Contains(to)) return delay;
        var (leaves, arrives) = (view.ArrivalAtPlace(from), view.ArrivalAtPlace(to));
        return new Delay(arrives.Earliest - leaves.Earliest, arrives.Latest - leaves.Latest, arrives.Unknown is >= 0 and var edge ? delays[edge].Unsettled : delay.Unsettled);
    }
}
