using QuikGraph;
using QuikGraph.Algorithms;
using QuikGraph.Algorithms.Search;

namespace PatchLang.Tests.Graph;

/// <summary>What a general graph library answers about the same nodes and edges.</summary>
internal sealed class Oracle
{
    private readonly AdjacencyGraph<int, SEquatableEdge<int>> graph = new(allowParallelEdges: true);

    public Oracle(int nodes, IEnumerable<(int From, int To)> edges)
    {
        graph.AddVertexRange(Enumerable.Range(0, nodes));
        graph.AddEdgeRange(edges.Select(e => new SEquatableEdge<int>(e.From, e.To)));
    }

    /// <summary>Whether no way leads back to where it began.</summary>
    public bool IsAcyclic => graph.IsDirectedAcyclicGraph();

    /// <summary>The circles: strong components of more than one node, and nodes with an edge to themselves.</summary>
    public IEnumerable<int[]> Circles()
    {
        var components = new Dictionary<int, int>();
        graph.StronglyConnectedComponents(components);
        var loops = graph.Edges.Where(e => e.Source == e.Target).Select(e => e.Source).ToHashSet();
        return components.GroupBy(c => c.Value, c => c.Key).Select(g => g.Order().ToArray()).Where(g => g.Length > 1 || loops.Contains(g[0]));
    }

    /// <summary>The nodes that can be reached from a node along the edges, itself among them, with the fewest edges it takes.</summary>
    public Dictionary<int, int> DistancesFrom(int node)
    {
        var distances = new Dictionary<int, int> { [node] = 0 };
        var search = new BreadthFirstSearchAlgorithm<int, SEquatableEdge<int>>(graph);
        search.TreeEdge += edge => distances[edge.Target] = distances[edge.Source] + 1;
        search.Compute(node);
        return distances;
    }

    /// <summary>The same with every edge turned round.</summary>
    public Oracle Reversed() => new(graph.VertexCount, graph.Edges.Select(e => (e.Target, e.Source)));
}
