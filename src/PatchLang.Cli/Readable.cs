using System.Globalization;
using System.Text;
using PatchLang.Text;

namespace PatchLang.Cli;

/// <summary>Makes text of a plan safe for a terminal: one line without control sequences.</summary>
internal static class Readable
{
    private const int TabStop = 4;

    /// <summary>The text with tabs as spaces and control characters as visible symbols.</summary>
    public static string Line(ReadOnlySpan<char> text)
    {
        var line = new StringBuilder(text.Length);
        var column = 0;
        foreach (var rune in text.EnumerateRunes())
        {
            var width = WidthAt(column, rune);
            column += width;
            if (rune.Value == '\t') line.Append(' ', width);
            else line.Append(Shown(rune).ToString());
        }
        return line.ToString();
    }

    /// <summary>The number of columns that the text takes.</summary>
    public static int WidthOf(ReadOnlySpan<char> text)
    {
        var column = 0;
        foreach (var rune in text.EnumerateRunes()) column += WidthAt(column, rune);
        return column;
    }

    private static int WidthAt(int column, Rune rune) => rune.Value == '\t' ? TabStop - column % TabStop : DisplayWidth.Of(Shown(rune));

    private static Rune Shown(Rune rune) => rune.Value switch
    {
        < 0x20 => new Rune(0x2400 + rune.Value), // the block "Control Pictures" of Unicode
        0x7F => new Rune(0x2421),
        < 0x80 => rune,
        < 0xA0 => Rune.ReplacementChar,
        _ => Rune.GetUnicodeCategory(rune) is UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
            ? Rune.ReplacementChar // bidirectional controls would make the line look different from what the plan says
            : rune,
    };
}
