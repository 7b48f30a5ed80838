using System.Buffers;
using System.Runtime.InteropServices;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// The edges at each node, on one side of it (out or in). Nodes are grouped into pages, so that the lists of the next version of a
/// plan share every page whose edges did not change.
/// </summary>
internal sealed class EdgeLists
{
    private const int Bits = 9;
    private const int Size = 1 << Bits;

    private static readonly Page Empty = new(new int[Size + 1], []) { Meetings = [] };

    private readonly Page[] pages;

    private EdgeLists(Page[] pages) => this.pages = pages;

    /// <summary>The edges of a range of nodes.</summary>
    /// <param name="Starts">The index in <paramref name="Edges"/> at which each node's edges begin, and finally the end.</param>
    /// <param name="Edges">The edges, grouped by node and ascending within each.</param>
    private sealed record Page(int[] Starts, int[] Edges)
    {
        /// <summary>The nodes, counted from the page's first, with several edges in one act; null until first asked for.</summary>
        public int[]? Meetings { get; set; }
    }

    /// <summary>The edges at a node.</summary>
    public ReadOnlySpan<int> this[int node]
    {
        get
        {
            var page = pages[node >> Bits];
            var start = page.Starts[node & (Size - 1)];
            return page.Edges.AsSpan(start, page.Starts[(node & (Size - 1)) + 1] - start);
        }
    }

    /// <summary>Builds the lists.</summary>
    /// <param name="nodes">The node of each edge.</param>
    /// <param name="nodeCount">The number of nodes.</param>
    public static EdgeLists Of(ReadOnlySpan<int> nodes, int nodeCount)
    {
        var made = new Page[(nodeCount + Size - 1) >> Bits];
        // A counting sort: `starts` first holds where each node's edges end; filling in from the last edge turns that into where they start.
        var starts = ArrayPool<int>.Shared.Rent((made.Length << Bits) + 1);
        Array.Clear(starts);
        foreach (var node in nodes) starts[node]++;
        for (var i = 1; i <= made.Length << Bits; i++) starts[i] += starts[i - 1];
        var edges = ArrayPool<int>.Shared.Rent(nodes.Length);
        for (var edge = nodes.Length - 1; edge >= 0; edge--) edges[--starts[nodes[edge]]] = edge;
        for (var p = 0; p < made.Length; p++)
        {
            var (first, end) = (starts[p << Bits], starts[(p + 1) << Bits]);
            if (first == end)
            {
                made[p] = Empty;
                continue;
            }
            var own = starts.AsSpan(p << Bits, Size + 1).ToArray();
            foreach (ref var start in own.AsSpan()) start -= first;
            made[p] = new Page(own, edges.AsSpan(first..end).ToArray());
        }
        ArrayPool<int>.Shared.Return(starts);
        ArrayPool<int>.Shared.Return(edges);
        return new EdgeLists(made);
    }

    /// <summary>The lists after a range of edges is replaced, which renumbers the edges after it.</summary>
    /// <param name="first">The first edge that is replaced.</param>
    /// <param name="gone">The nodes of the removed edges.</param>
    /// <param name="come">The nodes of the new edges.</param>
    public EdgeLists With(int first, ReadOnlySpan<int> gone, ReadOnlySpan<int> come)
    {
        var (end, shift) = (first + gone.Length, come.Length - gone.Length);
        var added = new Dictionary<int, List<int>>();
        for (var i = 0; i < come.Length; i++) (CollectionsMarshal.GetValueRefOrAddDefault(added, come[i], out _) ??= []).Add(first + i);
        var isTouched = new bool[pages.Length];
        foreach (var node in gone) isTouched[node >> Bits] = true;
        foreach (var node in come) isTouched[node >> Bits] = true;
        // Even if the new edges are at the same nodes, their acts may differ.
        var isAlike = gone.SequenceEqual(come);
        var next = new Page[pages.Length];
        for (var p = 0; p < pages.Length; p++)
            next[p] = isTouched[p] ? isAlike ? new Page(pages[p].Starts, pages[p].Edges) : Rebuilt(p) : shift == 0 ? pages[p] : Shifted(pages[p]);
        return new EdgeLists(next);

        Page Rebuilt(int number)
        {
            var starts = new int[Size + 1];
            var edges = new List<int>(pages[number].Edges.Length);
            for (var i = 0; i < Size; i++)
            {
                var node = (number << Bits) + i;
                var before = this[node];
                foreach (var edge in before)
                    if (edge < first) edges.Add(edge);
                if (added.TryGetValue(node, out var some)) edges.AddRange(some);
                foreach (var edge in before)
                    if (edge >= end) edges.Add(edge + shift);
                starts[i + 1] = edges.Count;
            }
            return edges.Count == 0 ? Empty : new Page(starts, [.. edges]);
        }

        Page Shifted(Page page)
        {
            var edges = page.Edges;
            if (edges.AsSpan().IndexOfAnyInRange(end, int.MaxValue) < 0) return page;
            edges = [.. edges];
            foreach (ref var edge in edges.AsSpan())
                if (edge >= end) edge += shift;
            return new Page(page.Starts, edges) { Meetings = page.Meetings };
        }
    }

    /// <summary>The nodes with several edges in one act, in order.</summary>
    /// <param name="graph">Tells in which acts an edge exists.</param>
    public IEnumerable<int> Meetings(SignalGraph graph)
    {
        for (var p = 0; p < pages.Length; p++)
            foreach (var node in pages[p].Meetings ??= FindMeetings(graph, pages[p]))
                yield return (p << Bits) + node;
    }

    private static int[] FindMeetings(SignalGraph graph, Page page)
    {
        List<int>? found = null;
        for (var i = 0; i < Size; i++)
        {
            var (start, end) = (page.Starts[i], page.Starts[i + 1]);
            if (end - start > 1 && Meet(graph, page.Edges.AsSpan(start..end))) (found ??= []).Add(i);
        }
        return found is null ? [] : [.. found];
    }

    private static bool Meet(SignalGraph graph, ReadOnlySpan<int> edges)
    {
        var seen = ActSet.None;
        foreach (var edge in edges)
        {
            var acts = graph.ActsOf(edge);
            if (acts.Meets(seen)) return true;
            seen |= acts;
        }
        return false;
    }
}
