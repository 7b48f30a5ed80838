namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>A preference that one box be left of another.</summary>
internal readonly record struct Tie(int From, int To, int Weight);

/// <summary>
/// Breaks cycles: drops those ties that go backwards in an order in which few do. (A heuristic of P. Eades, X. Lin and W. F. Smyth, 1993,
/// with weights; equal choices are decided by the plan's order.)
/// </summary>
internal static class Direction
{
    /// <summary>The ties that are kept.</summary>
    public static List<Tie> Forward(int count, IReadOnlyList<Tie> ties)
    {
        var place = Order(count, ties);
        return [.. ties.Where(t => place[t.From] < place[t.To])];
    }

    private static int[] Order(int count, IReadOnlyList<Tie> ties)
    {
        var (into, outOf) = (new List<Tie>[count], new List<Tie>[count]);
        for (var i = 0; i < count; i++) (into[i], outOf[i]) = ([], []);
        var (weightIn, weightOut) = (new int[count], new int[count]);
        foreach (var tie in ties)
        {
            if (tie.From == tie.To) continue;
            into[tie.To].Add(tie);
            outOf[tie.From].Add(tie);
            weightIn[tie.To] += tie.Weight;
            weightOut[tie.From] += tie.Weight;
        }
        var left = new SortedSet<int>(Enumerable.Range(0, count));
        var sinks = new Stack<int>(Enumerable.Range(0, count).Where(i => weightOut[i] == 0));
        var sources = new Queue<int>(Enumerable.Range(0, count).Where(i => weightIn[i] == 0));
        var place = new int[count];
        var (first, last) = (0, count - 1);
        while (left.Count > 0)
        {
            if (sinks.TryPop(out var node)) Take(node, isSink: true);
            else if (sources.TryDequeue(out node)) Take(node, isSink: false);
            else Take(left.MaxBy(i => (weightOut[i] - weightIn[i], -i)), isSink: false);
        }
        return place;

        void Take(int node, bool isSink)
        {
            if (!left.Remove(node)) return;
            place[node] = isSink ? last-- : first++;
            foreach (var tie in outOf[node])
                if ((weightIn[tie.To] -= tie.Weight) == 0 && left.Contains(tie.To)) sources.Enqueue(tie.To);
            foreach (var tie in into[node])
                if ((weightOut[tie.From] -= tie.Weight) == 0 && left.Contains(tie.From)) sinks.Push(tie.From);
        }
    }
}
