namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>
/// Orders the cells in each layer for few crossings: sweeps over the layers in both directions move each cell to the middle of its
/// neighbours (K. Sugiyama, S. Tagawa and M. Toda, 1981); then adjacent cells are swapped wherever that saves a crossing.
/// </summary>
internal static class Ordering
{
    private const int Sweeps = 12;
    private const int MostSwapRounds = 8;

    /// <summary>An order of all cells, and its number of crossings.</summary>
    public sealed record Candidate(Cell[][] Order, int Crossings);

    /// <summary>A good order from each of several starts: the plan's order, a depth-first order, and both upside down.</summary>
    public static List<Candidate> Candidates(Layers layers)
    {
        var starts = new List<Cell[][]> { Snapshot(layers) };
        FromTheEnds(layers);
        starts.Add(Snapshot(layers));
        starts.AddRange(starts.Select(s => s.Select(l => l.Reverse().ToArray()).ToArray()).ToArray());
        return [.. starts.Select(start => BestFrom(layers, start))];
    }

    /// <summary>Applies an order to the cells, and to the ports of boxes with free ports.</summary>
    public static void Take(Layers layers, Candidate candidate)
    {
        Restore(layers, candidate.Order);
        OrderFreePorts(layers);
    }

    private static Candidate BestFrom(Layers layers, Cell[][] start)
    {
        Restore(layers, start);
        var best = new Candidate(start, Crossings.Count(layers));
        for (var sweep = 0; sweep < Sweeps; sweep++)
        {
            Sweep(layers, isForward: sweep % 2 == 0);
            var crossings = Crossings.Count(layers);
            if (sweep >= 2 || crossings < best.Crossings) crossings = Swap(layers, crossings);
            if (crossings < best.Crossings) best = new Candidate(Snapshot(layers), crossings);
            if (best.Crossings == 0) break;
        }
        return best;
    }

    /// <summary>An order that keeps connected cells together: depth-first along the lines.</summary>
    private static void FromTheEnds(Layers layers)
    {
        var seen = new HashSet<Cell>(ReferenceEqualityComparer.Instance);
        var next = new int[layers.All.Count];
        foreach (var layer in layers.All)
            foreach (var cell in layer) Visit(cell);
        foreach (var layer in layers.All) layer.Sort((a, b) => a.Place.CompareTo(b.Place));

        void Visit(Cell first)
        {
            var open = new Stack<Cell>([first]);
            while (open.TryPop(out var cell))
            {
                if (!seen.Add(cell)) continue;
                cell.Place = next[cell.Layer]++;
                foreach (var pin in cell.Left.Concat(cell.Right).Reverse())
                    foreach (var other in pin.Strand.Pins.Reverse())
                        if (!seen.Contains(other.Cell)) open.Push(other.Cell);
            }
        }
    }

    private static void Sweep(Layers layers, bool isForward)
    {
        var count = layers.All.Count;
        for (var i = 0; i < count; i++)
        {
            var at = isForward ? i : count - 1 - i;
            var layer = layers.All[at];
            _ = Crossings.Count(layers, at); // ranks the pins on both sides of the channel
            _ = Crossings.Count(layers, at + 1);
            RankAll(layers, isForward ? at : at + 1);
            var wish = new double[layer.Count];
            for (var c = 0; c < layer.Count; c++) wish[c] = Middle(layer[c], isForward ? Flank.Left : Flank.Right);
            // A cell without neighbours stays with the one above it; one where a net turns goes beside the cell it turns to.
            for (var c = 0; c < layer.Count; c++)
                if (double.IsNaN(wish[c])) wish[c] = Beside(layer[c], wish, isForward ? Flank.Left : Flank.Right) is { } beside ? beside : c > 0 ? wish[c - 1] : 0;
            var order = Enumerable.Range(0, layer.Count).OrderBy(c => wish[c]).ThenBy(c => c).Select(c => layer[c]).ToArray();
            layer.Clear();
            layer.AddRange(order);
            for (var c = 0; c < layer.Count; c++) layer[c].Place = c;
        }
    }

    /// <summary>Ranks the pins of a channel with too few lines to be counted.</summary>
    private static void RankAll(Layers layers, int channel)
    {
        if (layers.Channels[channel].Count >= 2) return;
        foreach (var strand in layers.Channels[channel])
            foreach (var pin in strand.Pins) pin.Rank = pin.Cell.Place;
    }

    private static double Middle(Cell cell, Flank flank)
    {
        var (sum, count) = (0.0, 0);
        foreach (var pin in cell.On(flank))
            foreach (var other in flank == Flank.Left ? pin.Strand.Left : pin.Strand.Right)
            {
                sum += other.Rank;
                count++;
            }
        return count == 0 ? double.NaN : sum / count;
    }

    private static double? Beside(Cell cell, double[] wish, Flank flank)
    {
        foreach (var pin in cell.On(flank))
            foreach (var other in pin.Strand.Pins)
                if (other.Cell != cell && other.Cell.Layer == cell.Layer && wish[other.Cell.Place] is var place && !double.IsNaN(place)) return place + 0.001;
        return null;
    }

    private static int Swap(Layers layers, int crossings)
    {
        for (var round = 0; round < MostSwapRounds && crossings > 0; round++)
        {
            var before = crossings;
            for (var l = 0; l < layers.All.Count; l++)
            {
                var layer = layers.All[l];
                if (layer.Count > Crowd.Most) continue; // each swap counts all its crossings anew
                var now = Crossings.Count(layers, l) + Crossings.Count(layers, l + 1);
                for (var i = 0; i + 1 < layer.Count && now > 0; i++)
                {
                    Exchange(layer, i);
                    var then = Crossings.Count(layers, l) + Crossings.Count(layers, l + 1);
                    if (then < now)
                    {
                        crossings -= now - then;
                        now = then;
                    }
                    else Exchange(layer, i);
                }
            }
            if (crossings == before) break;
        }
        return crossings;
    }

    private static void Exchange(List<Cell> layer, int i)
    {
        (layer[i], layer[i + 1]) = (layer[i + 1], layer[i]);
        layer[i].Place = i;
        layer[i + 1].Place = i + 1;
    }

    private static Cell[][] Snapshot(Layers layers) => [.. layers.All.Select(l => l.ToArray())];

    private static void Restore(Layers layers, Cell[][] order)
    {
        for (var l = 0; l < order.Length; l++)
        {
            layers.All[l].Clear();
            layers.All[l].AddRange(order[l]);
        }
        layers.Number();
    }

    /// <summary>Orders the ports of boxes with free ports as their lines arrive.</summary>
    private static void OrderFreePorts(Layers layers)
    {
        foreach (var cell in layers.All.SelectMany(l => l))
        {
            if (cell.Box?.HasFreePorts != true) continue;
            foreach (var flank in (ReadOnlySpan<Flank>)[Flank.Left, Flank.Right])
            {
                var pins = cell.On(flank);
                var offsets = pins.Select(p => p.Offset).Order().ToArray();
                var ordered = pins.Select((pin, i) => (Pin: pin, Wish: Wish(pin, flank), i)).OrderBy(p => p.Wish).ThenBy(p => p.i).Select(p => p.Pin).ToArray();
                for (var i = 0; i < ordered.Length; i++)
                {
                    pins[i] = ordered[i];
                    ordered[i].Port!.Offset = offsets[i];
                }
            }
        }

        static double Wish(Pin pin, Flank flank)
        {
            var others = flank == Flank.Left ? pin.Strand.Left : pin.Strand.Right;
            if (others.Count == 0) others = [.. pin.Strand.Pins.Where(p => p != pin)];
            return others.Average(o => o.Cell.Place + (o.Cell.On(o.Strand.Left.Contains(o) ? Flank.Right : Flank.Left).IndexOf(o) + 1) / 1000.0);
        }
    }
}
