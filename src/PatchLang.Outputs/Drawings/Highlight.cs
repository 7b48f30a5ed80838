namespace PatchLang.Outputs.Drawings;

/// <summary>Why something is set off in a drawing. Each sort has a sign and a stroke of its own, so that none is told by colour alone.</summary>
public enum HighlightSort
{
    /// <summary>It is new: a plus, and a line within a casing.</summary>
    Added,

    /// <summary>It is to go: a minus, and a line that is crossed out.</summary>
    Removed,

    /// <summary>It stays, and something about it is another: a wave, and a line with lozenges.</summary>
    Changed,
}

/// <summary>Something that is set off in a drawing.</summary>
/// <param name="Sort">Why.</param>
/// <param name="Words">What is written beside the sign, as short as it can be: <c>new</c>, <c>2 routes</c>, <c>was 15 m</c>.</param>
public sealed record Highlight(HighlightSort Sort, string Words)
{
    /// <summary>The sign of a sort.</summary>
    public static string SignOf(HighlightSort sort) => sort switch { HighlightSort.Added => "+", HighlightSort.Removed => "\u2212", _ => "~" };

    /// <summary>Sign and words, as they are written and read out.</summary>
    public string Text => Words.Length == 0 ? SignOf(Sort) : $"{SignOf(Sort)} {Words}";
}
