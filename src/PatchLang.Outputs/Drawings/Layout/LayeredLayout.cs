namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>
/// Places boxes in layers from left to right and draws their lines with right angles: the layout of all drawings. It is deterministic:
/// the same boxes and lines in the same order give the same picture.
/// </summary>
/// <remarks>The steps are those of Sugiyama's method: direction, layers, order, placement, routing; each has its own file here.</remarks>
internal static class LayeredLayout
{
    /// <summary>The cost of a crossing, in pixels of bends.</summary>
    private const int CostOfCrossing = 400;

    /// <summary>Places all boxes and draws all nets.</summary>
    /// <returns>The width and height of the whole, with margins, and its density.</returns>
    public static (int Width, int Height, Crowd Crowd) Apply(IReadOnlyList<Box> boxes, IReadOnlyList<Net> nets, Spacing spacing)
    {
        var crowd = default(Crowd);
        var parts = new List<Part>();
        foreach (var (itsBoxes, itsNets) in Parts(boxes, nets)) parts.Add(Lay(itsBoxes, itsNets, spacing, ref crowd));
        var (width, height) = Packing.Apply(parts, spacing);
        return (width, height, crowd);
    }

    private static Part Lay(List<Box> boxes, List<Net> nets, Spacing spacing, ref Crowd crowd)
    {
        var number = new Dictionary<Box, int>(ReferenceEqualityComparer.Instance);
        foreach (var box in boxes) number.Add(box, number.Count);
        var ties = nets.SelectMany(n => n.To.Select(t => new Tie(number[n.From.Box], number[t.Box], n.Weight))).ToList();
        var layers = new Layers(boxes, nets, Layering.Of(boxes.Count, Direction.Forward(boxes.Count, ties)));
        crowd = crowd.Or(Crowd.In(layers));
        var candidates = Ordering.Candidates(layers);
        Ordering.Candidate? best = null;
        var least = long.MaxValue;
        foreach (var candidate in candidates)
        {
            Ordering.Take(layers, candidate);
            var cost = Placement.Settle(layers, spacing) + (long)CostOfCrossing * candidate.Crossings;
            if (cost < least) (best, least) = (candidate, cost);
        }
        Ordering.Take(layers, best!);
        Placement.Settle(layers, spacing);
        Placement.Finish(layers, spacing);
        return Draw(boxes, nets, layers, spacing);
    }

    private static Part Draw(List<Box> boxes, List<Net> nets, Layers layers, Spacing spacing)
    {
        foreach (var cell in layers.All.SelectMany(l => l))
            if (cell.Box is { } box) box.Y = cell.Y;
        var paths = nets.ToDictionary(n => n, _ => new Paths());
        var x = 0;
        var (left, right) = (0, 0); // the left and right edge of the previous layer's boxes
        for (var channel = 0; channel <= layers.All.Count; channel++)
        {
            var before = channel == 0 ? [] : layers.All[channel - 1];
            var behind = channel == layers.All.Count ? [] : layers.All[channel];
            var pieces = Routing.Of(layers.Channels[channel], spacing.Lines);
            var tracks = pieces.Count == 0 ? 0 : pieces.Max(p => p.Track) + 1;
            var firstTrack = right + Lead(before, Flank.Right) + spacing.Lines;
            var end = channel == 0 && tracks == 0
                ? Lead(behind, Flank.Left)
                : channel == layers.All.Count && tracks == 0
                ? right + Lead(before, Flank.Right)
                : firstTrack + Math.Max(tracks - 1, 0) * spacing.Lines + spacing.Lines + Lead(behind, Flank.Left);
            var width = Widen(behind);
            foreach (var cell in behind)
                if (cell.Box is { } box) box.X = end + (width - box.Width) / 2;
            var piecesOf = pieces.ToLookup(p => p.Strand);
            foreach (var strand in layers.Channels[channel])
            {
                Trace(strand, [.. piecesOf[strand]], paths[strand.Net], firstTrack, spacing.Lines, right, end);
            }
            // Nets that pass the next layer run straight from this channel to the one after it.
            foreach (var cell in behind)
                if (cell.Box is null) paths[cell.Left[0].Strand.Net].Add(new Spot(end, cell.Y), new Spot(end + width, cell.Y));
            (left, right) = (end, end + width);
            x = right;
        }
        foreach (var net in nets) net.Paths = paths[net].From(new Spot(net.From.X, net.From.Y), [.. net.To.Select(t => new Spot(t.X, t.Y))]);
        return Part.Of(boxes, nets);
    }

    private static int Lead(List<Cell> layer, Flank flank) =>
        layer.Where(c => c.IsBox).SelectMany(c => c.Box!.Ports).Where(p => p.Flank == flank).Select(p => p.Lead).DefaultIfEmpty(0).Max();

    private static int Widen(List<Cell> layer)
    {
        var width = layer.Where(c => c.IsBox).Select(c => c.Box!.Width).DefaultIfEmpty(0).Max();
        foreach (var cell in layer)
            if (cell.Box is { IsElastic: true } box) box.Width = width;
        return width;
    }

    /// <summary>Adds the pieces of a strand: horizontal from each pin to its track, and vertical along the track.</summary>
    private static void Trace(Strand strand, List<Routing.Piece> pieces, Paths paths, int firstTrack, int lines, int left, int right)
    {
        if (pieces.Count == 0)
        {
            paths.Add(Leave(strand.Left[0]), Arrive(strand.Right[0]));
            return;
        }
        foreach (var piece in pieces)
        {
            var x = firstTrack + piece.Track * lines;
            paths.Add(new Spot(x, piece.Top), new Spot(x, piece.Bottom));
            foreach (var pin in strand.Left)
                if (pieces.Count == 1 || ReferenceEquals(pieces.MinBy(p => p.Track), piece)) paths.Add(Leave(pin), new Spot(x, pin.Y));
            foreach (var pin in strand.Right)
                if (pieces.Count == 1 || ReferenceEquals(pieces.MaxBy(p => p.Track), piece)) paths.Add(new Spot(x, pin.Y), Arrive(pin));
        }
        var inOrder = pieces.OrderBy(p => p.Track).ToList();
        for (var i = 1; i < inOrder.Count; i++)
            paths.Add(new Spot(firstTrack + inOrder[i - 1].Track * lines, inOrder[i].Left[0]), new Spot(firstTrack + inOrder[i].Track * lines, inOrder[i].Left[0]));

        Spot Leave(Pin pin) => new(pin.Port?.X ?? left, pin.Y);

        Spot Arrive(Pin pin) => new(pin.Port?.X ?? right, pin.Y);
    }

    /// <summary>The connected components, ordered by their first box.</summary>
    private static IEnumerable<(List<Box> Boxes, List<Net> Nets)> Parts(IReadOnlyList<Box> boxes, IReadOnlyList<Net> nets)
    {
        var parent = new Dictionary<Box, Box>(ReferenceEqualityComparer.Instance);
        foreach (var box in boxes) parent.Add(box, box);
        foreach (var net in nets)
            foreach (var to in net.To) parent[Find(to.Box)] = Find(net.From.Box);
        var parts = new Dictionary<Box, (List<Box> Boxes, List<Net> Nets)>(ReferenceEqualityComparer.Instance);
        var order = new List<(List<Box> Boxes, List<Net> Nets)>();
        foreach (var box in boxes)
        {
            if (!parts.TryGetValue(Find(box), out var part))
            {
                parts.Add(Find(box), part = ([], []));
                order.Add(part);
            }
            part.Boxes.Add(box);
        }
        foreach (var net in nets) parts[Find(net.From.Box)].Nets.Add(net);
        return order;

        Box Find(Box box)
        {
            while (parent[box] != box) box = parent[box] = parent[parent[box]];
            return box;
        }
    }
}
