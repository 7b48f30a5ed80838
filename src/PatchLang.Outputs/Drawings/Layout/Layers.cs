namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>A place in a layer: a box, or a dummy where a net passes the layer.</summary>
internal sealed class Cell(Box? box, int layer)
{
    public Box? Box { get; } = box;

    public int Layer { get; } = layer;

    /// <summary>Its index in the layer, from the top.</summary>
    public int Place { get; set; }

    /// <summary>The upper edge.</summary>
    public int Y { get; set; }

    public int Height => Box?.Height ?? 0;

    public bool IsBox => Box is not null;

    /// <summary>Its pins in the channel on its left, from the top.</summary>
    public List<Pin> Left { get; } = [];

    /// <summary>Its pins in the channel on its right, from the top.</summary>
    public List<Pin> Right { get; } = [];

    public List<Pin> On(Flank flank) => flank == Flank.Left ? Left : Right;
}

/// <summary>Where a strand touches a cell.</summary>
internal sealed class Pin(Cell cell, Port? port, Strand strand)
{
    public Cell Cell { get; } = cell;

    /// <summary>The port, if the cell is a box.</summary>
    public Port? Port { get; } = port;

    public Strand Strand { get; } = strand;

    /// <summary>Its rank among all pins on this side of the channel, from the top; the pins of a box with free ports share one rank.</summary>
    public int Rank { get; set; }

    public int Offset => Port?.Offset ?? 0;

    public int Y => Cell.Y + Offset;
}

/// <summary>The part of a net in one channel: it connects its pins on both sides, with one vertical piece if they differ in height.</summary>
internal sealed class Strand(Net net)
{
    public Net Net { get; } = net;

    /// <summary>Pins on the channel's left: of cells in the layer before it.</summary>
    public List<Pin> Left { get; init; } = [];

    /// <summary>Pins on the channel's right: of cells in the layer after it.</summary>
    public List<Pin> Right { get; init; } = [];

    public IEnumerable<Pin> Pins => Left.Concat(Right);
}

/// <summary>
/// Boxes and nets by layer. A net that passes a layer has a dummy cell there, and so has one that turns back. Channel 0 is left of layer
/// 0, and the last channel right of the last layer.
/// </summary>
internal sealed class Layers
{
    public Layers(IReadOnlyList<Box> boxes, IReadOnlyList<Net> nets, int[] layerOf)
    {
        var count = layerOf.Max() + 1;
        for (var i = 0; i < count; i++) All.Add([]);
        for (var i = 0; i <= count; i++) Channels.Add([]);
        var cellOf = new Dictionary<Box, Cell>(ReferenceEqualityComparer.Instance);
        for (var i = 0; i < boxes.Count; i++) cellOf.Add(boxes[i], AddCell(boxes[i], layerOf[i]));
        foreach (var net in nets) Thread(net, cellOf);
        foreach (var cell in cellOf.Values)
        {
            cell.Left.Sort((a, b) => a.Offset.CompareTo(b.Offset));
            cell.Right.Sort((a, b) => a.Offset.CompareTo(b.Offset));
        }
    }

    /// <summary>The cells of each layer, from the top.</summary>
    public List<List<Cell>> All { get; } = [];

    /// <summary>The strands of each channel.</summary>
    public List<List<Strand>> Channels { get; } = [];

    /// <summary>The strands of each net by channel.</summary>
    public Dictionary<Net, SortedDictionary<int, Strand>> StrandsOf { get; } = new(ReferenceEqualityComparer.Instance);

    /// <summary>Sets each cell's index in its layer from the current lists.</summary>
    public void Number()
    {
        foreach (var layer in All)
            for (var i = 0; i < layer.Count; i++) layer[i].Place = i;
    }

    private Cell AddCell(Box? box, int layer)
    {
        var cell = new Cell(box, layer) { Place = All[layer].Count };
        All[layer].Add(cell);
        return cell;
    }

    private void Thread(Net net, Dictionary<Box, Cell> cellOf)
    {
        var strands = StrandsOf[net] = [];
        var start = cellOf[net.From.Box];
        Touch(start, net.From, start.Layer + 1, Flank.Right);
        var last = start.Layer;
        var first = start.Layer + 1;
        foreach (var to in net.To)
        {
            var end = cellOf[to.Box];
            Touch(end, to, end.Layer, Flank.Left);
            last = Math.Max(last, end.Layer - 1);
            first = Math.Min(first, end.Layer);
        }
        for (var layer = start.Layer + 1; layer <= last; layer++) Pass(layer);
        // Going backwards, it also passes the layers of its own start and ends.
        for (var layer = start.Layer; layer >= first; layer--) Pass(layer);

        void Pass(int layer)
        {
            var cell = AddCell(null, layer);
            // Where it turns, it connects to one side only.
            Touch(cell, null, layer, Flank.Left);
            Touch(cell, null, layer + 1, Flank.Right);
        }

        void Touch(Cell cell, Port? port, int channel, Flank flank)
        {
            if (!strands.TryGetValue(channel, out var strand))
            {
                strands.Add(channel, strand = new Strand(net));
                Channels[channel].Add(strand);
            }
            var pin = new Pin(cell, port, strand);
            cell.On(flank).Add(pin);
            // The right side of a cell is the left side of the channel.
            (flank == Flank.Right ? strand.Left : strand.Right).Add(pin);
        }
    }
}
