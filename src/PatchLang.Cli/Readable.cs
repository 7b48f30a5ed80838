using System.Globalization;
using System.Text;

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

    private static int WidthAt(int column, Rune rune) => rune.Value == '\t' ? TabStop - column % TabStop : WidthOf(Shown(rune));

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

    private static int WidthOf(Rune rune)
    {
        if (rune.Value < 0x300) return 1;
        if (Rune.GetUnicodeCategory(rune) is UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark) return 0;
        return IsWide(rune.Value) ? 2 : 1;
    }

    /// <summary>The blocks that Unicode Standard Annex 11 counts as wide, whole; from memory.</summary>
    private static bool IsWide(int value) => value
        is >= 0x1100 and <= 0x115F
        or >= 0x2E80 and <= 0xA4CF
        or >= 0xAC00 and <= 0xD7A3
        or >= 0xF900 and <= 0xFAFF
        or >= 0xFE30 and <= 0xFE6F
        or >= 0xFF00 and <= 0xFF60
        or >= 0xFFE0 and <= 0xFFE6
        or >= 0x1F300 and <= 0x1F64F
        or >= 0x1F900 and <= 0x1F9FF
        or >= 0x20000 and <= 0x3FFFD;
}
