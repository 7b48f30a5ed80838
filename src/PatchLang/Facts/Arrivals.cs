using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>When sound arrives at each place, computed in one pass in topological order.</summary>
internal sealed class Arrivals
{
    private const int Known = 0;
    private const int Broken = -1;

    private readonly double[] earliest;
    private readonly double[] latest;
    private readonly int[] unknown; // the edge's number plus 1, or one of the above

    public Arrivals(SignalGraph graph, SignalOrder order, Delays delays)
    {
        (earliest, latest, unknown) = (new double[order.PlaceCount], new double[order.PlaceCount], new int[order.PlaceCount]);
        foreach (var node in graph.UnknownSources) unknown[node] = unknown[order.PlaceOf(node)] = Broken;
        if (order.HasCircles)
            for (var place = 0; place < unknown.Length; place++)
                if (order.IsInCircle(place)) unknown[place] = Broken;
        var edges = order.Edges;
        var froms = order.Froms;
        var tos = order.Tos;
        foreach (var to in tos) earliest[to] = double.PositiveInfinity;
        var aligned = AlignedBuses.Of(graph.Rig);
        for (var i = 0; i < edges.Length; i++)
        {
            var (from, to) = (froms[i], tos[i]);
            var delay = delays[edges[i]];
            latest[to] = Math.Max(latest[to], latest[from] + delay.Latest);
            var arrives = earliest[from] + delay.Earliest;
            // An aligned bus waits for its latest source.
            earliest[to] = aligned.Contains(to) && earliest[to] < double.PositiveInfinity ? Math.Max(earliest[to], arrives) : Math.Min(earliest[to], arrives);
            if (unknown[to] == Broken) continue;
            if (unknown[from] == Broken) unknown[to] = Broken;
            else if (unknown[to] == Known) unknown[to] = unknown[from] != Known ? unknown[from] : delay.IsKnown ? Known : edges[i] + 1;
        }
    }

    public Arrival this[int place] => new(earliest[place], latest[place], unknown[place] switch { Known => null, Broken => -1, var edge => edge - 1 });
}
