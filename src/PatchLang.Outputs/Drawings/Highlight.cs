namespace PatchLang.Outputs.Drawings;

/// <summary>Why something is highlighted. Each sort has its own sign and stroke, so that none is told by colour alone.</summary>
public enum HighlightSort
{
    /// <summary>It is new: a plus, and a line within a casing.</summary>
    Added,

    /// <summary>It is removed: a minus, and a line that is crossed out.</summary>
    Removed,

    /// <summary>It stays but differs: a wave, and a line with lozenges.</summary>
    Changed,
}

/// <summary>A highlight in a drawing.</summary>
/// <param name="Sort">Why.</param>
/// <param name="Words">The text beside the sign, as short as possible: <c>new</c>, <c>2 routes</c>, <c>was 15 m</c>.</param>
public sealed record Highlight(HighlightSort Sort, string Words)
{
    /// <summary>The sign of a sort.</summary>
    public static string SignOf(HighlightSort sort) => sort switch { HighlightSort.Added => "+", HighlightSort.Removed => "\u2212", _ => "~" };

    /// <summary>Sign and text, as written and read out.</summary>
    public string Text => Words.Length == 0 ? SignOf(Sort) : $"{SignOf(Sort)} {Words}";
}
