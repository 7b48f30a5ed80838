namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>The lines of a net, from pieces that join each other: the way to each end, each stretch drawn once.</summary>
internal sealed class Paths
{
    private readonly List<(Spot From, Spot To)> pieces = [];

    /// <summary>Adds a flat or upright piece; one without length is none.</summary>
    public void Add(Spot from, Spot to)
    {
        if (from != to) pieces.Add((from, to));
    }

    /// <summary>The way from a place to each of several, without what an earlier one has drawn.</summary>
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

    /// <summary>From each place the places next to it. Where pieces touch, or an end lies on one, they are split.</summary>
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
