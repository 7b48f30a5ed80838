namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>The side of a box that a port is on: signals come in on the left and go out on the right.</summary>
internal enum Flank
{
    Left,
    Right,
}

/// <summary>A rectangle to be placed, with its ports. All measures are integers; y grows downwards.</summary>
internal sealed class Box(int width, int height)
{
    public int Width { get; set; } = width;

    public int Height { get; set; } = height;

    public List<Port> Ports { get; } = [];

    /// <summary>Whether it may be widened to the width of its layer, so that boxes form clean columns.</summary>
    public bool IsElastic { get; init; }

    /// <summary>Whether the layout orders its ports on each side.</summary>
    public bool HasFreePorts { get; init; }

    /// <summary>
    /// If it may be stretched vertically so that lines run straight into it, the least distance of its ports from its upper edge; else null.
    /// </summary>
    public int? FreeFrom { get; init; }

    /// <summary>The left edge; set by the layout.</summary>
    public int X { get; set; }

    /// <summary>The upper edge; set by the layout.</summary>
    public int Y { get; set; }

    public int Right => X + Width;

    public int Bottom => Y + Height;

    /// <summary>Adds a port.</summary>
    /// <param name="flank">The side it is on.</param>
    /// <param name="offset">The distance from the upper edge.</param>
    /// <param name="lead">How much of its line must stay straight and clear beside the box, for text.</param>
    public Port Add(Flank flank, int offset, int lead = 0)
    {
        var port = new Port(this, flank, lead) { Offset = offset };
        Ports.Add(port);
        return port;
    }
}

/// <summary>A point on a box where one line starts or ends.</summary>
internal sealed class Port(Box box, Flank flank, int lead)
{
    public Box Box { get; } = box;

    public Flank Flank { get; } = flank;

    public int Lead { get; } = lead;

    public int Offset { get; set; }

    public int X => Flank == Flank.Left ? Box.X : Box.Right;

    public int Y => Box.Y + Offset;
}

/// <summary>A point of a line.</summary>
internal readonly record struct Spot(int X, int Y);

/// <summary>A line from a port on the right of a box to one or more ports on the left of boxes.</summary>
/// <param name="from">Where it starts.</param>
/// <param name="to">Where it ends; with several ends, it branches.</param>
/// <param name="weight">How important it is that it runs from left to right.</param>
internal sealed class Net(Port from, IReadOnlyList<Port> to, int weight = 1)
{
    public Port From { get; } = from;

    public IReadOnlyList<Port> To { get; } = to;

    public int Weight { get; } = weight;

    /// <summary>The path to each end, starting where it leaves the paths to earlier ends; set by the layout.</summary>
    public Spot[][] Paths { get; set; } = [];
}
