namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>How much of a drawing stands side by side.</summary>
/// <param name="Boxes">The most boxes that stand one above the other and hang together.</param>
/// <param name="Lines">The most lines between two columns of these.</param>
internal readonly record struct Crowd(int Boxes, int Lines)
{
    /// <summary>Of more than this, nobody can follow one line among the others. There the layout does without what takes a time that grows with their square.</summary>
    public const int Most = 500;

    /// <summary>Whether it is more than anybody can follow.</summary>
    public bool IsTooMuch => Boxes > Most || Lines > Most;

    /// <summary>The most of two.</summary>
    public Crowd Or(Crowd other) => new(Math.Max(Boxes, other.Boxes), Math.Max(Lines, other.Lines));

    /// <summary>Of what is laid out in layers.</summary>
    public static Crowd In(Layers layers) => new(layers.All.Max(l => l.Count(c => c.IsBox)), layers.Channels.Max(c => c.Count));
}
