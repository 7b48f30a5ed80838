namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>
/// The vertical position of each cell: as close to where its lines would be straight as the layer's order allows. Each layer is solved as
/// a whole; cells that want the same place push each other apart evenly (isotonic regression with weighted medians, by pooling adjacent
/// violators: M. Ayer and others, 1955).
/// </summary>
internal static class Placement
{
    private const int Passes = 14;
    private const int CostOfHeight = 8;
    private const int CostOfBends = 60;

    /// <summary>Places the cells in their current order.</summary>
    /// <returns>The cost: bends of the lines plus total height; less is better.</returns>
    public static long Settle(Layers layers, Spacing spacing)
    {
        foreach (var layer in layers.All)
            for (var i = 0; i < layer.Count; i++) layer[i].Y = i == 0 ? 0 : layer[i - 1].Y + layer[i - 1].Height + spacing.Between(layer[i - 1], layer[i]);
        var best = Heights(layers);
        var least = Cost(layers);
        for (var pass = 0; pass < Passes; pass++)
        {
            var isForward = pass % 2 == 0;
            var isBoth = pass >= Passes - 4;
            for (var i = 0; i < layers.All.Count; i++)
                Settle(layers.All[isForward ? i : layers.All.Count - 1 - i], spacing, isForward || isBoth, !isForward || isBoth);
            var cost = Cost(layers);
            if (cost >= least) continue;
            (least, best) = (cost, Heights(layers));
        }
        Restore(layers, best);
        return least;
    }

    /// <summary>Stretches boxes where possible, and moves the topmost cell to 0.</summary>
    public static void Finish(Layers layers, Spacing spacing)
    {
        foreach (var layer in layers.All)
            for (var i = 0; i < layer.Count; i++)
                if (layer[i].Box?.FreeFrom is not null) DrawOut(layer, i, spacing);
        var top = layers.All.SelectMany(l => l).Min(c => c.Y);
        foreach (var cell in layers.All.SelectMany(l => l)) cell.Y -= top;
    }

    private static int[][] Heights(Layers layers) => [.. layers.All.Select(l => l.Select(c => c.Y).ToArray())];

    private static void Restore(Layers layers, int[][] heights)
    {
        for (var l = 0; l < heights.Length; l++)
            for (var i = 0; i < heights[l].Length; i++) layers.All[l][i].Y = heights[l][i];
    }

    /// <summary>The cost: bends of the lines plus total height.</summary>
    private static long Cost(Layers layers)
    {
        long cost = 0;
        foreach (var strand in layers.Channels.SelectMany(c => c))
        {
            var (low, high) = (int.MaxValue, int.MinValue);
            foreach (var pin in strand.Pins) (low, high) = (Math.Min(low, pin.Y), Math.Max(high, pin.Y));
            if (high > low) cost += high - low + CostOfBends;
        }
        var cells = layers.All.SelectMany(l => l).ToList();
        return cost + CostOfHeight * (cells.Max(c => c.Y + c.Height) - (long)cells.Min(c => c.Y));
    }

    private static void Settle(List<Cell> layer, Spacing spacing, bool byLeft, bool byRight)
    {
        // With the space needed by the cells above subtracted, an order is valid if positions don't decrease: what is left is an isotonic regression.
        var above = 0;
        var room = new int[layer.Count];
        var wishes = new List<(int Place, int Weight)>[layer.Count];
        for (var i = 0; i < layer.Count; i++)
        {
            if (i > 0) above += layer[i - 1].Height + spacing.Between(layer[i - 1], layer[i]);
            room[i] = above;
            wishes[i] = Wishes(layer[i], above, byLeft, byRight);
        }
        foreach (var block in Pooled(wishes))
            for (var i = block.First; i < block.End; i++) layer[i].Y = block.Place + room[i];
    }

    /// <summary>A run of cells that touch, the set of places they want for the first of them, and its median.</summary>
    private readonly record struct Block(int First, int End, int Wishes, int Place);

    /// <summary>The blocks in increasing order of place: a block that would end up above its predecessor is merged with it.</summary>
    private static List<Block> Pooled(IReadOnlyList<IReadOnlyList<(int Place, int Weight)>> wishes)
    {
        var trees = new WeightTrees(wishes.SelectMany(w => w).Select(w => w.Place));
        var blocks = new List<Block>(wishes.Count);
        for (var i = 0; i < wishes.Count; i++)
        {
            var its = trees.Of(wishes[i]);
            var block = new Block(i, i + 1, its, trees.Median(its));
            while (blocks.Count > 0 && blocks[^1].Place > block.Place)
            {
                its = trees.Merged(blocks[^1].Wishes, block.Wishes);
                block = new Block(blocks[^1].First, block.End, its, trees.Median(its));
                blocks.RemoveAt(blocks.Count - 1);
            }
            blocks.Add(block);
        }
        return blocks;
    }

    private static List<(int Place, int Weight)> Wishes(Cell cell, int above, bool byLeft, bool byRight)
    {
        var wishes = new List<(int Place, int Weight)>();
        if (byLeft) Add(Flank.Left);
        if (byRight) Add(Flank.Right);
        if (wishes.Count == 0) wishes.Add((cell.Y - above, 1));
        return wishes;

        void Add(Flank flank)
        {
            foreach (var pin in cell.On(flank))
            {
                var far = flank == Flank.Left ? pin.Strand.Left : pin.Strand.Right;
                foreach (var other in far.Count > 0 ? far : flank == Flank.Left ? pin.Strand.Right : pin.Strand.Left)
                {
                    if (other == pin) continue;
                    // Straightness matters most where a line passes layers.
                    var weight = (cell.IsBox ? 1 : 3) * (other.Cell.IsBox ? 2 : 6);
                    wishes.Add((other.Y - pin.Offset - above, weight));
                }
            }
        }
    }

    /// <summary>Moves the free ports of a box to where their lines are straight, as far as the neighbouring cells leave room.</summary>
    private static void DrawOut(List<Cell> layer, int place, Spacing spacing)
    {
        var cell = layer[place];
        var box = cell.Box!;
        var from = box.FreeFrom!.Value;
        var top = place > 0 ? layer[place - 1].Y + layer[place - 1].Height + spacing.Between(layer[place - 1], cell) : int.MinValue / 2;
        var bottom = place + 1 < layer.Count ? layer[place + 1].Y - spacing.Between(cell, layer[place + 1]) : int.MaxValue / 2;
        // Lines that can't be straight for lack of room must not stretch the box any further.
        var (highest, lowest) = (top + from, Math.Max(top + from, bottom - spacing.Pitch / 2));
        var straight = cell.Left.Concat(cell.Right).Select(Far).Where(y => y >= highest && y <= lowest).Order().ToList();
        var (first, last) = (int.MaxValue, int.MinValue);
        var wishes = new Dictionary<Pin, int>();
        foreach (var flank in (ReadOnlySpan<Flank>)[Flank.Left, Flank.Right])
        {
            var pins = cell.On(flank);
            var wanted = new List<(int Place, int Weight)>[pins.Count];
            for (var i = 0; i < pins.Count; i++)
            {
                var wish = Far(pins[i]);
                if (straight.Count > 0 && wish < highest) wish = straight[0];
                if (straight.Count > 0 && wish > lowest) wish = straight[^1];
                // Leave room for the ports above and below.
                var least = highest + i * spacing.Pitch;
                wish = Math.Clamp(wish, least, Math.Max(least, lowest - (pins.Count - 1 - i) * spacing.Pitch));
                wanted[i] = [(wish - i * spacing.Pitch, 1)];
            }
            foreach (var block in Pooled(wanted))
                for (var i = block.First; i < block.End; i++)
                {
                    var y = block.Place + i * spacing.Pitch;
                    wishes.Add(pins[i], y);
                    (first, last) = (Math.Min(first, y), Math.Max(last, y));
                }
        }
        if (wishes.Count == 0) return;
        var height = box.Height;
        // The upper edge may move down to suit the first line, as long as the box still fits above what is below it.
        cell.Y = Math.Clamp(first - from, top, Math.Max(top, Math.Min(first - from, bottom - height)));
        box.Height = Math.Max(height, last + spacing.Pitch / 2 + 2 - cell.Y);
        foreach (var (pin, y) in wishes) pin.Port!.Offset = y - cell.Y;

        static int Far(Pin pin)
        {
            var far = pin.Strand.Left.Contains(pin) ? pin.Strand.Right : pin.Strand.Left;
            return far.Count > 0 ? far[0].Y : pin.Y;
        }
    }
}
