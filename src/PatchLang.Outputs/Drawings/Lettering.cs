using PatchLang.Text;

namespace PatchLang.Outputs.Drawings;

/// <summary>How much room text takes in a drawing. Nobody knows the reader's fonts, so letters are taken to be wide ones.</summary>
internal static class Lettering
{
    /// <summary>The room of a box's title, 13 pixels high and bold.</summary>
    public static int Title(string text) => Room(text, 78);

    /// <summary>The room of small print in letters of one width, 11 pixels high.</summary>
    public static int Print(string text) => Room(text, 67);

    /// <summary>The room of what is written on a line, 10 pixels high, in letters of one width.</summary>
    public static int Label(string text) => Room(text, 61);

    /// <summary>The text, or as much of it as takes so many columns, with a mark that there is more.</summary>
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
