namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>
/// Assigns each box a layer so that every forward tie leads to a later layer and the total length of the ties is minimal. (The network
/// simplex of E. R. Gansner, E. Koutsofios, S. C. North and K.-P. Vo, 1993.)
/// </summary>
internal sealed class Layering
{
    private readonly int count;
    private readonly Tie[] ties;
    private readonly int[] layer;
    private readonly List<int>[] around; // the ties of each box
    private readonly int[] parentTie;
    private readonly List<int> preorder = [];

    private Layering(int count, IReadOnlyList<Tie> forward)
    {
        this.count = count;
        ties = [.. forward];
        layer = new int[count];
        parentTie = new int[count];
        around = new List<int>[count];
        for (var i = 0; i < count; i++) around[i] = [];
        for (var i = 0; i < ties.Length; i++)
        {
            around[ties[i].From].Add(i);
            around[ties[i].To].Add(i);
        }
    }

    /// <summary>The layer of each box, from 0.</summary>
    /// <param name="count">The number of boxes, which must be connected.</param>
    /// <param name="forward">The ties, which must be free of cycles.</param>
    public static int[] Of(int count, IReadOnlyList<Tie> forward)
    {
        var layering = new Layering(count, forward);
        layering.ByLongestPath();
        if (count > 1) layering.Improve();
        var first = layering.layer.Min();
        return [.. layering.layer.Select(l => l - first)];
    }

    private void ByLongestPath()
    {
        var waiting = new int[count];
        foreach (var tie in ties) waiting[tie.To]++;
        var open = new Queue<int>(Enumerable.Range(0, count).Where(i => waiting[i] == 0));
        while (open.TryDequeue(out var node))
            foreach (var each in around[node])
            {
                var tie = ties[each];
                if (tie.From != node) continue;
                layer[tie.To] = Math.Max(layer[tie.To], layer[node] + 1);
                if (--waiting[tie.To] == 0) open.Enqueue(tie.To);
            }
    }

    private int Slack(int tie) => layer[ties[tie].To] - layer[ties[tie].From] - 1;

    private void Improve()
    {
        var inTree = TightTree();
        // Each pivot shortens the total or leaves it equal; the bound only keeps an enormous plan from taking too long.
        for (var pivots = 20 * count; pivots > 0; pivots--)
        {
            var (leaving, tail) = Leaving(inTree);
            if (leaving < 0) return;
            var entering = Entering(tail);
            var move = Slack(entering);
            for (var node = 0; node < count; node++)
                if (tail[node]) layer[node] -= move;
            inTree[leaving] = false;
            inTree[entering] = true;
        }
    }

    /// <summary>A spanning tree of ties without slack; layers are shifted until there is one.</summary>
    private bool[] TightTree()
    {
        var inTree = new bool[ties.Length];
        var isReached = new bool[count];
        var reached = new List<int>(count);
        Reach(0);
        for (var at = 0; ; at = 0)
        {
            for (; at < reached.Count; at++)
                foreach (var tie in around[reached[at]])
                {
                    var other = Other(tie, reached[at]);
                    if (isReached[other] || Slack(tie) != 0) continue;
                    inTree[tie] = true;
                    Reach(other);
                }
            if (reached.Count == count) return inTree;
            var nearest = -1;
            for (var tie = 0; tie < ties.Length; tie++)
                if (isReached[ties[tie].From] != isReached[ties[tie].To] && (nearest < 0 || Slack(tie) < Slack(nearest))) nearest = tie;
            if (nearest < 0)
            {
                // The rest is connected only through dropped ties: the next box keeps its layer.
                Reach(Array.IndexOf(isReached, false));
                continue;
            }
            var move = isReached[ties[nearest].From] ? Slack(nearest) : -Slack(nearest);
            foreach (var node in reached) layer[node] += move;
        }

        void Reach(int node)
        {
            isReached[node] = true;
            reached.Add(node);
        }
    }

    private int Other(int tie, int node) => ties[tie].From == node ? ties[tie].To : ties[tie].From;

    /// <summary>The tree tie with the most negative cut value, and the part of the tree on its tail's side; −1 if none is negative.</summary>
    private (int Tie, bool[] Tail) Leaving(bool[] inTree)
    {
        Walk(inTree);
        // The cut value is the flow from a subtree to the rest: ties within the subtree cancel out.
        var flow = new int[count];
        foreach (var tie in ties)
        {
            flow[tie.From] += tie.Weight;
            flow[tie.To] -= tie.Weight;
        }
        var (worst, child) = (0, -1);
        for (var i = preorder.Count - 1; i >= 0; i--)
        {
            var node = preorder[i];
            if (parentTie[node] < 0) continue;
            var tie = ties[parentTie[node]];
            var cut = tie.From == node ? flow[node] : -flow[node];
            if (cut < worst) (worst, child) = (cut, node);
            flow[Other(parentTie[node], node)] += flow[node];
        }
        if (child < 0) return (-1, []);
        var leaving = parentTie[child];
        var below = new bool[count];
        below[child] = true;
        foreach (var node in preorder)
            if (parentTie[node] >= 0 && below[Other(parentTie[node], node)]) below[node] = true;
        if (ties[leaving].From == child) return (leaving, below);
        return (leaving, [.. below.Select(b => !b)]);
    }

    private int Entering(bool[] tail)
    {
        var best = -1;
        for (var tie = 0; tie < ties.Length; tie++)
            if (!tail[ties[tie].From] && tail[ties[tie].To] && (best < 0 || Slack(tie) < Slack(best))) best = tie;
        return best;
    }

    private void Walk(bool[] inTree)
    {
        preorder.Clear();
        var isSeen = new bool[count];
        var open = new Stack<int>();
        for (var root = 0; root < count; root++)
        {
            if (isSeen[root]) continue;
            isSeen[root] = true;
            parentTie[root] = -1;
            open.Push(root);
            while (open.TryPop(out var node))
            {
                preorder.Add(node);
                foreach (var tie in around[node])
                {
                    var other = Other(tie, node);
                    if (!inTree[tie] || isSeen[other]) continue;
                    isSeen[other] = true;
                    parentTie[other] = tie;
                    open.Push(other);
                }
            }
        }
    }
}
