using System.Globalization;
using System.Text;

namespace PatchLang.Text;

/// <summary>How many columns a text takes where all columns are of one width: in a terminal, or in an editor.</summary>
public static class DisplayWidth
{
    /// <summary>The columns of a text without line breaks. Marks over a letter take none, wide letters two.</summary>
    public static int Of(ReadOnlySpan<char> text)
    {
        if (Ascii.IsValid(text)) return text.Length;
        var width = 0;
        foreach (var rune in text.EnumerateRunes()) width += Of(rune);
        return width;
    }

    private static int Of(Rune rune) => rune.Value switch
    {
        < 0x300 => 1,
        >= 0x1100 and <= 0x115F => 2, // the ranges that UAX #11 calls wide or full width, where they come to whole blocks
        >= 0x2E80 and <= 0xA4CF => 2,
        >= 0xAC00 and <= 0xD7A3 => 2,
        >= 0xF900 and <= 0xFAFF => 2,
        >= 0xFE30 and <= 0xFE6F => 2,
        >= 0xFF00 and <= 0xFF60 => 2,
        >= 0xFFE0 and <= 0xFFE6 => 2,
        >= 0x1F300 and <= 0x1FAFF => 2,
        >= 0x20000 and <= 0x3FFFD => 2,
        _ => Rune.GetUnicodeCategory(rune) is UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark or UnicodeCategory.Format ? 0 : 1,
    };
}
