using System.Globalization;
using System.Text;
using PatchLang.Text;

namespace PatchLang.Cli;

/// <summary>Text of a plan as a terminal can show it: one line, and nothing in it that the terminal would obey.</summary>
internal static class Readable
{
    private const int TabStop = 4;

    /// <summary>The text with tabs as spaces, and each control character as its picture.</summary>
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

    /// <summary>How many columns the text takes.</summary>
    public static int WidthOf(ReadOnlySpan<char> text)
    {
        var column = 0;
        foreach (var rune in text.EnumerateRunes()) column += WidthAt(column, rune);
        return column;
    }

    private static int WidthAt(int column, Rune rune) => rune.Value == '\t' ? TabStop - column % TabStop : DisplayWidth.Of(Shown(rune));

    private static Rune Shown(Rune rune) => rune.Value switch
    {
        < 0x20 => new Rune(0x2400 + rune.Value), // Unicode's control pictures
        0x7F => new Rune(0x2421),
        < 0x80 => rune,
        < 0xA0 => Rune.ReplacementChar,
        _ => Rune.GetUnicodeCategory(rune) is UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
            ? Rune.ReplacementChar // marks that turn the direction of writing would show a line that is not the plan's
            : rune,
    };
}
