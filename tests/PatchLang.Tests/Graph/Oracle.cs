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

    /// <summary>The nodes that lie on a circle: those that share a strong component, and those with an edge to themselves.</summary>
    public HashSet<int> OnCircles()
    {
        var components = new Dictionary<int, int>();
        graph.StronglyConnectedComponents(components);
        var shared = components.GroupBy(c => c.Value).Where(g => g.Skip(1).Any()).SelectMany(g => g.Select(c => c.Key));
        return [.. shared, .. graph.Edges.Where(e => e.Source == e.Target).Select(e => e.Source)];
    }

    /// <summary>The component of each node, as the least node in it; edges count both ways.</summary>
    public int[] Components()
    {
        var components = new Dictionary<int, int>();
        graph.WeaklyConnectedComponents(components);
        var least = components.GroupBy(c => c.Value).ToDictionary(g => g.Key, g => g.Min(c => c.Key));
        return [.. Enumerable.Range(0, graph.VertexCount).Select(node => least[components[node]])];
    }

    /// <summary>The nodes that can be reached from a node along the edges, itself among them.</summary>
    public HashSet<int> ReachableFrom(int node)
    {
        var reached = new HashSet<int>();
        var search = new BreadthFirstSearchAlgorithm<int, SEquatableEdge<int>>(graph);
        search.DiscoverVertex += vertex => reached.Add(vertex);
        search.Compute(node);
        return reached;
    }

    /// <summary>The nodes from which a node can be reached, itself among them.</summary>
    public HashSet<int> Reaching(int node) => new Oracle(graph.VertexCount, graph.Edges.Select(e => (e.Target, e.Source))).ReachableFrom(node);
}
