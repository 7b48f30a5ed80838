using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>Reachability in the signal graph.</summary>
public static class Reach
{
    /// <summary>All nodes whose sound arrives at any of <paramref name="nodes"/> in some acts, including those themselves.</summary>
    public static HashSet<int> Upstream(this SignalGraph graph, IEnumerable<int> nodes, ActSet acts) => Search(graph, nodes, acts, isUpstream: true);

    /// <summary>All nodes at which the sound of any of <paramref name="nodes"/> arrives in some acts, including those themselves.</summary>
    public static HashSet<int> Downstream(this SignalGraph graph, IEnumerable<int> nodes, ActSet acts) => Search(graph, nodes, acts, isUpstream: false);

    private static HashSet<int> Search(SignalGraph graph, IEnumerable<int> nodes, ActSet acts, bool isUpstream)
    {
        var seen = new HashSet<int>(nodes);
        var open = new Stack<int>(seen);
        while (open.TryPop(out var node))
            foreach (var edge in isUpstream ? graph.Into(node) : graph.OutOf(node))
                if (graph.ActsOf(edge).Meets(acts))
                {
                    var next = isUpstream ? graph.FromOf(edge) : graph.ToOf(edge);
                    if (seen.Add(next)) open.Push(next);
                }
        return seen;
    }

    /// <summary>The edges of a shortest way to a node from any start node, in some acts; null if there is none.</summary>
    public static List<int>? WayTo(this SignalGraph graph, int node, Func<int, bool> isStart, ActSet acts)
    {
        var cameBy = new Dictionary<int, int> { [node] = -1 };
        var open = new Queue<int>();
        open.Enqueue(node);
        while (open.TryDequeue(out var at))
        {
            if (isStart(at))
            {
                var way = new List<int>();
                for (var edge = cameBy[at]; edge >= 0; edge = cameBy[graph.ToOf(edge)]) way.Add(edge);
                return way;
            }
            foreach (var edge in graph.Into(at))
                if (graph.ActsOf(edge).Meets(acts) && cameBy.TryAdd(graph.FromOf(edge), edge)) open.Enqueue(graph.FromOf(edge));
        }
        return null;
    }
}
