using System.Buffers;
using System.Runtime.InteropServices;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>Cycles of signal: strongly connected components of the graph. Edges of inserts do not count.</summary>
public static class SignalCircles
{
    /// <summary>
    /// The nodes on a cycle, or reached from one, with the edges of all these acts taken together: those left after repeatedly removing nodes
    /// that no edge leads into. None if there is no cycle.
    /// </summary>
    internal static List<int> NodesInCircles(this SignalGraph graph, ActSet acts)
    {
        var waiting = ArrayPool<int>.Shared.Rent(graph.NodeCount);
        var left = NodesInCircles(graph, acts, waiting);
        ArrayPool<int>.Shared.Return(waiting);
        return left;
    }

    /// <summary>
    /// Whether one of a range of edges is on a cycle, with the edges of all acts taken together. Searches only the nodes that the range leads
    /// to, since any such cycle lies among them.
    /// </summary>
    internal static bool HaveCircles(this SignalGraph graph, int firstEdge, int endEdge)
    {
        var waiting = new Dictionary<int, int>(); // for each node reached, the number of edges into it from others reached
        var open = new Stack<int>();
        for (var edge = firstEdge; edge < endEdge; edge++)
            if (Counts(graph, edge, graph.Rig.AllActs) && waiting.TryAdd(graph.ToOf(edge), 0)) open.Push(graph.ToOf(edge));
        while (open.TryPop(out var node))
            foreach (var edge in graph.OutOf(node))
            {
                if (!Counts(graph, edge, graph.Rig.AllActs)) continue;
                ref var known = ref CollectionsMarshal.GetValueRefOrAddDefault(waiting, graph.ToOf(edge), out var isKnown);
                known++;
                if (!isKnown) open.Push(graph.ToOf(edge));
            }
        foreach (var (node, count) in waiting)
            if (count == 0) open.Push(node);
        var left = waiting.Count;
        while (open.TryPop(out var node))
        {
            left--;
            foreach (var edge in graph.OutOf(node))
                if (Counts(graph, edge, graph.Rig.AllActs) && --CollectionsMarshal.GetValueRefOrNullRef(waiting, graph.ToOf(edge)) == 0) open.Push(graph.ToOf(edge));
        }
        return left > 0;
    }

    private static List<int> NodesInCircles(SignalGraph graph, ActSet acts, int[] waiting)
    {
        Array.Clear(waiting, 0, graph.NodeCount);
        var count = 0;
        for (var edge = 0; edge < graph.EdgeCount; edge++)
            if (Counts(graph, edge, acts))
            {
                if (waiting[graph.ToOf(edge)]++ == 0) count++;
            }
        if (count == 0) return [];
        var ready = new Stack<int>();
        for (var node = 0; node < graph.NodeCount; node++)
            if (waiting[node] == 0 && graph.OutOf(node).Length > 0) ready.Push(node);
        while (ready.TryPop(out var node))
            foreach (var edge in graph.OutOf(node))
                if (Counts(graph, edge, acts) && --waiting[graph.ToOf(edge)] == 0)
                {
                    count--;
                    ready.Push(graph.ToOf(edge));
                }
        var left = new List<int>();
        for (var node = 0; count > 0 && node < graph.NodeCount; node++)
            if (waiting[node] > 0) left.Add(node);
        return left;
    }

    /// <summary>
    /// The cycles in some acts, as strongly connected components; a single node counts only if it has an edge to itself. Tarjan's algorithm (R.
    /// Tarjan, 1972), without recursion.
    /// </summary>
    public static List<List<int>> Circles(this SignalGraph graph, ActSet acts)
    {
        var circles = new List<List<int>>();
        var candidates = graph.NodesInCircles(acts);
        var index = new Dictionary<int, int>();
        var low = new Dictionary<int, int>();
        var open = new Stack<int>();
        var isOpen = new HashSet<int>();
        var work = new Stack<(int Node, int Next)>();
        foreach (var start in candidates)
        {
            if (index.ContainsKey(start)) continue;
            work.Push((start, 0));
            while (work.TryPop(out var top))
            {
                var (node, next) = top;
                if (next == 0)
                {
                    index[node] = low[node] = index.Count;
                    open.Push(node);
                    isOpen.Add(node);
                }
                var edges = graph.OutOf(node);
                var descended = false;
                for (; next < edges.Length; next++)
                {
                    if (!Counts(graph, edges[next], acts)) continue;
                    var to = graph.ToOf(edges[next]);
                    if (!index.TryGetValue(to, out var seen))
                    {
                        work.Push((node, next + 1));
                        work.Push((to, 0));
                        descended = true;
                        break;
                    }
                    if (isOpen.Contains(to)) low[node] = Math.Min(low[node], seen);
                }
                if (descended) continue;
                if (low[node] == index[node]) Close(node);
                if (work.TryPeek(out var parent)) low[parent.Node] = Math.Min(low[parent.Node], low[node]);
            }
        }
        return circles;

        void Close(int root)
        {
            var circle = new List<int>();
            int node;
            do
            {
                node = open.Pop();
                isOpen.Remove(node);
                circle.Add(node);
            }
            while (node != root);
            if (circle.Count > 1 || IsLoop(root)) circles.Add(circle);
        }

        bool IsLoop(int node)
        {
            foreach (var edge in graph.OutOf(node))
                if (graph.ToOf(edge) == node && Counts(graph, edge, acts)) return true;
            return false;
        }
    }

    private static bool Counts(SignalGraph graph, int edge, ActSet acts) => graph.ActsOf(edge).Meets(acts) && !graph.HopOf(edge).IsInsert;
}
