namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>Joins the pieces of a net into the path to each end, with no stretch drawn twice.</summary>
internal sealed class Paths
{
    private readonly List<(Spot From, Spot To)> pieces = [];

    /// <summary>Adds a horizontal or vertical piece; one of length zero is ignored.</summary>
    public void Add(Spot from, Spot to)
    {
        if (from != to) pieces.Add((from, to));
    }

    /// <summary>The path from a point to each of several ends, without what an earlier path has drawn.</summary>
    public Spot[][] From(Spot start, IReadOnlyList<Spot> ends)
    {
        var before = Spread(start, Neighbours(ends.Append(start)));
        var isDrawn = new HashSet<Spot> { start };
        var ways = new Spot[ends.Count][];
        for (var i = 0; i < ends.Count; i++)
        {
            var way = new List<Spot> { ends[i] };
            while (!isDrawn.Contains(way[^1])) way.Add(before[way[^1]]);
            isDrawn.UnionWith(way);
            way.Reverse();
            ways[i] = Straightened(way);
        }
        return ways;
    }

    /// <summary>The neighbours of each point. Pieces are split where they touch, or where an end lies on one.</summary>
    private Dictionary<Spot, List<Spot>> Neighbours(IEnumerable<Spot> ends)
    {
        var spots = ends.Concat(pieces.SelectMany(p => (Spot[])[p.From, p.To])).Distinct().ToList();
        var neighbours = spots.ToDictionary(s => s, _ => new List<Spot>());
        foreach (var (from, to) in pieces)
        {
            var on = spots.Where(s => IsOn(s, from, to)).OrderBy(s => s.X).ThenBy(s => s.Y).ToList();
            for (var i = 1; i < on.Count; i++)
            {
                neighbours[on[i - 1]].Add(on[i]);
                neighbours[on[i]].Add(on[i - 1]);
            }
        }
        return neighbours;
    }

    private static bool IsOn(Spot spot, Spot from, Spot to) =>
        spot.X >= Math.Min(from.X, to.X) && spot.X <= Math.Max(from.X, to.X) && spot.Y >= Math.Min(from.Y, to.Y) && spot.Y <= Math.Max(from.Y, to.Y);

    private static Dictionary<Spot, Spot> Spread(Spot start, Dictionary<Spot, List<Spot>> neighbours)
    {
        var before = new Dictionary<Spot, Spot> { [start] = start };
        var open = new Queue<Spot>([start]);
        while (open.TryDequeue(out var at))
            foreach (var next in neighbours[at])
                if (before.TryAdd(next, at)) open.Enqueue(next);
        return before;
    }

    private static Spot[] Straightened(List<Spot> way)
    {
        var corners = new List<Spot>();
        foreach (var spot in way)
        {
            if (corners.Count >= 2 && ((corners[^1].X == corners[^2].X && spot.X == corners[^1].X) || (corners[^1].Y == corners[^2].Y && spot.Y == corners[^1].Y)))
                corners[^1] = spot;
            else corners.Add(spot);
        }
        return [.. corners];
    }
}
