using System.Collections.Immutable;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>How long sound is on its way from some places to another.</summary>
/// <param name="Arrival">When it arrives, counted from where it starts.</param>
/// <param name="Quickest">The way that takes least, hop by hop; of unknown delays what is known.</param>
/// <param name="Slowest">The way that takes longest.</param>
public sealed record Passage(Arrival Arrival, ImmutableArray<int> Quickest, ImmutableArray<int> Slowest);

/// <summary>Finds the quickest and the slowest way to a node, by a search back from it.</summary>
internal static class WaySearch
{
    /// <summary>The passage to a node; null where nothing leads there from any start.</summary>
    /// <param name="graph">The signal graph.</param>
    /// <param name="view">The acts to search in.</param>
    /// <param name="node">Where sound is to arrive.</param>
    /// <param name="starts">The nodes it counts from; null for the first sources, whatever they are.</param>
    public static Passage? To(SignalGraph graph, SignalView view, int node, IReadOnlySet<int>? starts = null)
    {
        var to = view.Order.PlaceOf(node);
        var known = new Dictionary<int, Reached?>();
        var open = new Stack<int>([to]);
        // Each place is worked out when all that lead to it are; circles have been cut off.
        while (open.TryPeek(out var place))
        {
            if (known.ContainsKey(place) || Settle(place) is not { } first)
            {
                open.Pop();
                continue;
            }
            open.Push(first);
        }
        return known[to] is { } reached ? new Passage(reached.Arrival, Way(r => r.Quickest), Way(r => r.Slowest)) : null;

        // Works a place out, or gives a place that has to be worked out before.
        int? Settle(int place)
        {
            if (starts is not null && starts.Contains(view.Order.NodeOf(place)))
            {
                known[place] = new Reached(default, -1, -1);
                return null;
            }
            if (view.Order.IsInCircle(place))
            {
                known[place] = new Reached(new Arrival(0, 0, -1), -1, -1);
                return null;
            }
            var edges = view.Order.Into(place).ToList();
            foreach (var edge in edges)
                if (!known.ContainsKey(view.Order.LeavesFrom(edge))) return view.Order.LeavesFrom(edge);
            known[place] = Reach(place, edges);
            return null;
        }

        Reached? Reach(int place, List<int> edges)
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

        ImmutableArray<int> Way(Func<Reached, int> last)
        {
            var edges = ImmutableArray.CreateBuilder<int>();
            for (var at = known[to]; at is { } reached && last(reached) >= 0; at = known[view.Order.LeavesFrom(edges[^1])]) edges.Add(last(reached));
            edges.Reverse();
            return edges.DrainToImmutable();
        }
    }

    /// <summary>When sound is at a place, and the last edges of its quickest and its slowest way; −1 where it starts.</summary>
    private readonly record struct Reached(Arrival Arrival, int Quickest, int Slowest);
}
