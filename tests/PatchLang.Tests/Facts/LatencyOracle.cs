using QuikGraph;
using QuikGraph.Algorithms;
using QuikGraph.Algorithms.ShortestPath;

namespace PatchLang.Tests.Facts;

/// <summary>The shortest and the longest way to every node of a graph without circles, as a general graph library finds them.</summary>
internal sealed class LatencyOracle
{
    private const int Start = -1;
    private readonly AdjacencyGraph<int, SEquatableTaggedEdge<int, double>> graph = new(allowParallelEdges: true);

    public LatencyOracle(IEnumerable<(int From, int To, double Seconds)> edges)
    {
        graph.AddVerticesAndEdgeRange(edges.Select(e => new SEquatableTaggedEdge<int, double>(e.From, e.To, e.Seconds)));
        var fed = graph.Edges.Select(e => e.Target).ToHashSet();
        // All sources begin at once: one node ahead of them.
        var sources = graph.Vertices.Where(v => !fed.Contains(v)).ToList();
        graph.AddVertex(Start);
        graph.AddEdgeRange(sources.Select(s => new SEquatableTaggedEdge<int, double>(Start, s, 0)));
    }

    /// <summary>Whether some way leads back to where it began.</summary>
    public bool IsAcyclic => graph.IsDirectedAcyclicGraph();

    /// <summary>The shortest way to each node, in seconds.</summary>
    public Dictionary<int, double> Shortest() => Distances(DistanceRelaxers.ShortestDistance);

    /// <summary>The longest way to each node, in seconds.</summary>
    public Dictionary<int, double> Longest() => Distances(DistanceRelaxers.CriticalDistance);

    private Dictionary<int, double> Distances(IDistanceRelaxer relaxer)
    {
        var search = new DagShortestPathAlgorithm<int, SEquatableTaggedEdge<int, double>>(graph, e => e.Tag, relaxer);
        search.Compute(Start);
        return search.GetDistances().ToDictionary();
    }
}
