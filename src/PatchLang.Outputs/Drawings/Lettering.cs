using PatchLang.Text;

namespace PatchLang.Outputs.Drawings;

/// <summary>Estimates the width of text in a drawing, in pixels. The reader's fonts are unknown, so letters are assumed to be wide.</summary>
internal static class Lettering
{
    /// <summary>The width of a box's title: bold, 13 pixels.</summary>
    public static int Title(string text) => Room(text, 78);

    /// <summary>The width of small print: monospaced, 11 pixels.</summary>
    public static int Print(string text) => Room(text, 67);

    /// <summary>The width of text on a line: monospaced, 10 pixels.</summary>
    public static int Label(string text) => Room(text, 61);

    /// <summary>The text, shortened to some columns with a mark if it is longer.</summary>
    public static string Cut(string text, int columns)
    {
        if (DisplayWidth.Of(text) <= columns) return text;
        var (width, end) = (0, 0);
        foreach (var rune in text.EnumerateRunes())
        {
            width += DisplayWidth.Of(rune);
            if (width > columns - 1) break;
            end += rune.Utf16SequenceLength;
        }
        return text[..end].TrimEnd() + "…";
    }

    private static int Room(string text, int tenths) => (DisplayWidth.Of(text) * tenths + 9) / 10;
}
