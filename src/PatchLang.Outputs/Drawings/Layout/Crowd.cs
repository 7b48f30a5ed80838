namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>How dense a drawing is.</summary>
/// <param name="Boxes">The most connected boxes in one column.</param>
/// <param name="Lines">The most lines between two columns of them.</param>
internal readonly record struct Crowd(int Boxes, int Lines)
{
    /// <summary>Beyond this, nobody can tell one line from the others, so the layout skips the steps whose time grows with the square.</summary>
    public const int Most = 500;

    /// <summary>Whether it is too dense for anyone to follow a line.</summary>
    public bool IsTooMuch => Boxes > Most || Lines > Most;

    /// <summary>The maximum of both.</summary>
    public Crowd Or(Crowd other) => new(Math.Max(Boxes, other.Boxes), Math.Max(Lines, other.Lines));

    /// <summary>The density of a layered graph.</summary>
    public static Crowd In(Layers layers) => new(layers.All.Max(l => l.Count(c => c.IsBox)), layers.Channels.Max(c => c.Count));
}
