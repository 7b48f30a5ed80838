using System.Collections.Immutable;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>Finds the quickest and the slowest way to nodes, by a search back from each. What it found out for one it knows for the next.</summary>
/// <param name="graph">The signal graph.</param>
/// <param name="view">The acts to search in.</param>
/// <param name="starts">The nodes it counts from; null for the first sources, whatever they are.</param>
internal sealed class WaySearch(SignalGraph graph, SignalView view, IReadOnlySet<int>? starts = null)
{
    private readonly Dictionary<int, Reached?> known = [];
    private readonly Stack<int> open = new();
    private readonly List<int> edges = []; // those into the place that is looked at

    /// <summary>Where it counts from; null for the first sources.</summary>
    public IReadOnlySet<int>? Starts => starts;

    /// <summary>Of how many places it knows the ways.</summary>
    public int KnownCount => known.Count;

    /// <summary>The passage to a node; null where nothing leads there from any start.</summary>
    public Passage? To(int node)
    {
        var to = view.Order.PlaceOf(node);
        open.Push(to);
        // A depth-first search: each place is settled after all places that lead to it. Cycles are cut off.
        while (open.TryPeek(out var place))
            if (known.ContainsKey(place) || Settles(place)) open.Pop();
        return known[to] is { } reached ? new Passage(this, to, reached.Arrival) : null;
    }

    /// <summary>The way to a place that was reached, over the edges that are last on it.</summary>
    internal ImmutableArray<int> WayTo(int place, Func<Reached, int> last)
    {
        var way = ImmutableArray.CreateBuilder<int>();
        for (var at = known[place]; at is { } reached && last(reached) >= 0; at = known[view.Order.LeavesFrom(way[^1])]) way.Add(last(reached));
        way.Reverse();
        return way.DrainToImmutable();
    }

    /// <summary>Works a place out, if all that lead to it are worked out; if not, these come first.</summary>
    private bool Settles(int place)
    {
        if (starts is not null && starts.Contains(view.Order.NodeOf(place)))
        {
            known[place] = new Reached(default, -1, -1);
            return true;
        }
        if (view.Order.IsInCircle(place))
        {
            known[place] = new Reached(new Arrival(0, 0, -1), -1, -1);
            return true;
        }
        edges.Clear();
        edges.AddRange(view.Order.Into(place));
        var isReady = true;
        for (var i = edges.Count - 1; i >= 0; i--)
        {
            var from = view.Order.LeavesFrom(edges[i]);
            if (known.ContainsKey(from)) continue;
            open.Push(from);
            isReady = false;
        }
        if (isReady) known[place] = Reach(place);
        return isReady;
    }

    private Reached? Reach(int place)
    {
        var isBroken = graph.UnknownSources.Contains(view.Order.NodeOf(place));
        if (edges.Count == 0) return starts is null || isBroken ? new Reached(new Arrival(0, 0, isBroken ? -1 : null), -1, -1) : null;
        int? unknown = isBroken ? -1 : null;
        int quickest = -1, slowest = -1;
        double earliest = 0, latest = 0;
        foreach (var edge in edges)
        {
            if (known[view.Order.LeavesFrom(edge)] is not { } from) continue;
            var delay = view.Delays[edge];
            if (quickest < 0 || from.Arrival.Earliest + delay.Earliest < earliest) (earliest, quickest) = (from.Arrival.Earliest + delay.Earliest, edge);
            if (slowest < 0 || from.Arrival.Latest + delay.Latest > latest) (latest, slowest) = (from.Arrival.Latest + delay.Latest, edge);
            var its = from.Arrival.Unknown ?? (delay.IsKnown ? null : edge);
            unknown = unknown is -1 || its is -1 ? -1 : unknown ?? its;
        }
        if (quickest < 0) return isBroken ? new Reached(new Arrival(0, 0, -1), -1, -1) : null;
        return new Reached(new Arrival(earliest, latest, unknown), quickest, slowest);
    }

    /// <summary>When sound arrives at a place, and the last edges of its quickest and slowest way; −1 at a start.</summary>
    internal readonly record struct Reached(Arrival Arrival, int Quickest, int Slowest);
}
