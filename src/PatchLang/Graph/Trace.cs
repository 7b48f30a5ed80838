using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>One hop of a trace.</summary>
/// <param name="Edge">An edge of the hop.</param>
/// <param name="Node">The node it leads to, in the direction of the trace.</param>
/// <param name="Acts">The acts in which the hop exists.</param>
/// <param name="Depth">The number of forks passed so far.</param>
public readonly record struct TraceStep(int Edge, int Node, ActSet Acts, int Depth)
{
    /// <summary>
    /// Whether it is one of several hops at a fork. The steps after it belong to it, up to the next step of a fork with the same depth or less.
    /// </summary>
    public bool Parts { get; init; }

    /// <summary>Whether its node was reached before: what lies beyond was listed there.</summary>
    public bool IsRepeated { get; init; }
}

/// <summary>Traces everything on the way to a node, or away from it, listing each hop once.</summary>
public static class Trace
{
    /// <summary>Everything that leads to a node, nearest first.</summary>
    public static ImmutableArray<TraceStep> TraceBack(this SignalGraph graph, int node, ActSet acts) => Walk(graph, node, acts, isBack: true);

    /// <summary>Everything that a node leads to, nearest first.</summary>
    public static ImmutableArray<TraceStep> TraceOn(this SignalGraph graph, int node, ActSet acts) => Walk(graph, node, acts, isBack: false);

    private static ImmutableArray<TraceStep> Walk(SignalGraph graph, int node, ActSet acts, bool isBack)
    {
        var steps = ImmutableArray.CreateBuilder<TraceStep>();
        var seen = new HashSet<int> { node };
        var open = new Stack<TraceStep>();
        Open(node, 0);
        while (open.TryPop(out var step))
        {
            step = step with { IsRepeated = !seen.Add(step.Node) };
            steps.Add(step);
            if (!step.IsRepeated) Open(step.Node, step.Depth);
        }
        return steps.DrainToImmutable();

        void Open(int at, int depth)
        {
            var hops = HopsAt(graph, at, acts, isBack);
            for (var i = hops.Count - 1; i >= 0; i--)
                open.Push(hops.Count == 1 ? hops[i] with { Depth = depth } : hops[i] with { Depth = depth + 1, Parts = true });
        }
    }

    /// <summary>The hops at a node; those of several feeds or acts to the same other node are one.</summary>
    private static List<TraceStep> HopsAt(SignalGraph graph, int node, ActSet acts, bool isBack)
    {
        var hops = new List<TraceStep>();
        foreach (var edge in isBack ? graph.Into(node) : graph.OutOf(node))
        {
            var shared = graph.ActsOf(edge) & acts;
            if (shared.IsEmpty) continue;
            var other = isBack ? graph.FromOf(edge) : graph.ToOf(edge);
            var same = hops.FindIndex(h => h.Node == other);
            if (same < 0) hops.Add(new TraceStep(edge, other, shared, 0));
            else hops[same] = hops[same] with { Acts = hops[same].Acts | shared };
        }
        return hops;
    }
}
