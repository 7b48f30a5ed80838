namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>
/// Sets of weighted places that can be merged, and asked for their weighted median, in amortized logarithmic time. Each set is a binary tree over
/// all places; merging moves the branches that only one of two trees has into the other. This keeps the cost per cell low even if
/// thousands of cells push each other apart.
/// </summary>
/// <param name="places">All places of all sets.</param>
internal sealed class WeightTrees(IEnumerable<int> places)
{
    private readonly int[] places = [.. places.Distinct().Order()];
    private readonly List<Node> nodes = [default]; // the first stands for an empty branch

    private record struct Node(int Early, int Late, long Weight);

    /// <summary>A set of weighted places, by the number of its tree.</summary>
    public int Of(IReadOnlyList<(int Place, int Weight)> wishes)
    {
        var tree = 0;
        foreach (var (place, weight) in wishes) tree = Add(tree, Array.BinarySearch(places, place), weight, 0, places.Length);
        return tree;
    }

    /// <summary>Merges two sets; neither of them may be used afterwards.</summary>
    public int Merged(int one, int other)
    {
        if (one == 0 || other == 0) return one + other;
        var (mine, its) = (nodes[one], nodes[other]);
        nodes[one] = new Node(Merged(mine.Early, its.Early), Merged(mine.Late, its.Late), mine.Weight + its.Weight);
        return one;
    }

    /// <summary>The weighted median: the first place up to which half of the weight lies.</summary>
    public int Median(int tree)
    {
        var half = (nodes[tree].Weight + 1) / 2;
        var (first, end) = (0, places.Length);
        while (end - first > 1)
        {
            var middle = (first + end) / 2;
            var early = nodes[nodes[tree].Early].Weight;
            if (half <= early)
            {
                (tree, end) = (nodes[tree].Early, middle);
            }
            else
            {
                half -= early;
                (tree, first) = (nodes[tree].Late, middle);
            }
        }
        return places[first];
    }

    private int Add(int tree, int place, int weight, int first, int end)
    {
        if (tree == 0)
        {
            tree = nodes.Count;
            nodes.Add(default);
        }
        var node = nodes[tree];
        if (end - first > 1)
        {
            var middle = (first + end) / 2;
            if (place < middle) node.Early = Add(node.Early, place, weight, first, middle);
            else node.Late = Add(node.Late, place, weight, middle, end);
        }
        node.Weight += weight;
        nodes[tree] = node;
        return tree;
    }
}
