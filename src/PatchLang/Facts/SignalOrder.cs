using System.Buffers;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>
/// The hops of some acts, each once, in topological order: all hops that lead to a place come before all
/// that lead on from it. Facts are computed in one pass in this order.
/// </summary>
/// <remarks>
/// A place is usually a node of the graph. A strip with an insert is two places: the node's own number is before the insert, and a
/// number beyond the graph's nodes is after it. The insert leads from one to the other, in series; what is taken at
/// <c>before all</c> leaves from the first. Hops on a cycle of signal, and after one, are left out. (Topological sorting by
/// A. B. Kahn, 1962.)
/// </remarks>
public sealed class SignalOrder
{
    private readonly SignalGraph graph;
    private readonly int[] edges;
    private readonly int[] froms;
    private readonly int[] tos;
    private readonly bool[]? inCircle;
    private readonly int[] strips = [];
    private readonly Dictionary<int, int> behind = [];
    private int count;

    internal SignalOrder(SignalGraph graph, Delays delays, ActSet acts)
    {
        (this.graph, Acts) = (graph, acts);
        strips = StripsWithInserts();
        PlaceCount = graph.NodeCount + strips.Length;
        var sorting = new Sorting(this, delays, ArrayPool<int>.Shared.Rent(PlaceCount), ArrayPool<int>.Shared.Rent(PlaceCount));
        var all = sorting.Count();
        (edges, froms, tos) = (new int[all], new int[all], new int[all]);
        inCircle = sorting.Sort(all);
        sorting.Return();
    }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts { get; }

    /// <summary>The number of hops. The same hop in several feeds counts once.</summary>
    public int Count => count;

    /// <summary>The number of places, used or not.</summary>
    public int PlaceCount { get; }

    /// <summary>Each hop's edge in the signal graph; if several feeds have the same hop, that of the feed that says most about it.</summary>
    public ReadOnlySpan<int> Edges => edges.AsSpan(0, count);

    /// <summary>The place that each hop leaves.</summary>
    public ReadOnlySpan<int> Froms => froms.AsSpan(0, count);

    /// <summary>The place that each hop leads to.</summary>
    public ReadOnlySpan<int> Tos => tos.AsSpan(0, count);

    /// <summary>Whether some place has several sources.</summary>
    public bool HasSums { get; private set; }

    /// <summary>Whether there is a cycle of signal.</summary>
    public bool HasCircles => inCircle is not null;

    /// <summary>Whether a place is on a cycle, or after one: nothing is known of it.</summary>
    public bool IsInCircle(int place) => inCircle is not null && inCircle[place];

    /// <summary>The node that a place belongs to.</summary>
    public int NodeOf(int place) => place < graph.NodeCount ? place : strips[place - graph.NodeCount];

    /// <summary>The place at which a node is heard: for a strip with an insert, after the insert.</summary>
    public int PlaceOf(int node) => strips.Length > 0 && behind.TryGetValue(node, out var place) ? place : node;

    /// <summary>The place that an edge of these acts leaves.</summary>
    internal int LeavesFrom(int edge)
    {
        var node = graph.FromOf(edge);
        return strips.Length > 0 && graph.HopOf(edge).Tap != Tap.BeforeAll ? PlaceOf(node) : node;
    }

    /// <summary>The edges that lead to a place.</summary>
    internal IEnumerable<int> Into(int place)
    {
        var into = graph.Into(NodeOf(place)).ToArray();
        foreach (var edge in into)
            if (graph.ActsOf(edge).Meets(Acts) && ToOf(edge) == place) yield return edge;
    }

    private int[] StripsWithInserts()
    {
        var found = new List<int>();
        // Inserts have the highest edge numbers.
        for (var edge = graph.EdgeCount - 1; edge >= 0 && graph.IsOfInsert(edge); edge--)
        {
            if (!graph.ActsOf(edge).Meets(Acts) || !IsReturn(edge) || !behind.TryAdd(graph.ToOf(edge), graph.NodeCount + found.Count)) continue;
            found.Add(graph.ToOf(edge));
        }
        return [.. found];
    }

    private bool IsReturn(int edge) => graph.HopOf(edge).IsInsert && graph.EndsOwnersWay(edge);

    private int ToOf(int edge)
    {
        var to = graph.ToOf(edge);
        return strips.Length > 0 && behind.TryGetValue(to, out var place) && IsReturn(edge) ? place : to;
    }

    /// <summary>The topological sort, with working arrays rented from a pool.</summary>
    /// <param name="order">The order to fill.</param>
    /// <param name="delays">The delays of hops: if two feeds have the same hop, the longer delay counts.</param>
    /// <param name="waiting">For each place, the number of hops to it not yet emitted.</param>
    /// <param name="lastTold">For each place, the last hop to it that was emitted, plus 1.</param>
    private readonly struct Sorting(SignalOrder order, Delays delays, int[] waiting, int[] lastTold)
    {
        private const int Told = -1;

        public int Count()
        {
            Array.Clear(waiting, 0, order.PlaceCount);
            Array.Clear(lastTold, 0, order.PlaceCount);
            var all = 0;
            for (var edge = 0; edge < order.graph.EdgeCount; edge++)
            {
                if (!order.graph.ActsOf(edge).Meets(order.Acts)) continue;
                waiting[order.ToOf(edge)]++;
                all++;
            }
            return all;
        }

        /// <summary>Fills the order, and returns which places are on cycles or after them; null if none are.</summary>
        public bool[]? Sort(int all)
        {
            var open = ArrayPool<int>.Shared.Rent(all + 1);
            var (next, end, told) = (0, 0, 0);
            for (var node = 0; node < order.graph.NodeCount; node++)
            {
                if (waiting[node] != 0 || order.graph.OutOf(node).IsEmpty) continue;
                told += Tell(node, open, ref end);
                for (; next < end; next++) told += Tell(open[next], open, ref end);
            }
            ArrayPool<int>.Shared.Return(open);
            if (told == all) return null;
            var left = new bool[order.PlaceCount];
            for (var place = 0; place < left.Length; place++) left[place] = waiting[place] > 0;
            return left;
        }

        public void Return()
        {
            ArrayPool<int>.Shared.Return(waiting);
            ArrayPool<int>.Shared.Return(lastTold);
        }

        private int Tell(int place, int[] open, ref int end)
        {
            var told = 0;
            waiting[place] = Told;
            var node = order.NodeOf(place);
            var hasInsert = order.strips.Length > 0 && order.behind.ContainsKey(node);
            foreach (var edge in order.graph.OutOf(node))
            {
                if (!order.graph.ActsOf(edge).Meets(order.Acts)) continue;
                if (hasInsert && (order.graph.HopOf(edge).Tap == Tap.BeforeAll) != (place == node)) continue;
                var to = order.ToOf(edge);
                told++;
                if (--waiting[to] == 0) open[end++] = to;
                var known = lastTold[to] - 1;
                if (known >= 0 && order.froms[known] == place)
                {
                    if (SaysMore(edge, order.edges[known])) order.edges[known] = edge;
                    continue;
                }
                order.HasSums |= known >= 0;
                (order.edges[order.count], order.froms[order.count], order.tos[order.count]) = (edge, place, to);
                lastTold[to] = ++order.count;
            }
            return told;
        }

        private bool SaysMore(int edge, int than)
        {
            var (one, other) = (order.graph.HopOf(edge).Gain, order.graph.HopOf(than).Gain);
            return one.HasValue != other.HasValue ? one.HasValue : delays.IsDeliberate(edge) && delays[edge].Latest > delays[than].Latest;
        }
    }
}
