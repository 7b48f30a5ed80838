using System.Globalization;
using System.Text;

namespace PatchLang.Text;

/// <summary>The width of text in columns of a monospaced terminal or editor.</summary>
public static class DisplayWidth
{
    /// <summary>The columns of a text without line breaks. Combining marks take none, wide characters two.</summary>
    public static int Of(ReadOnlySpan<char> text)
    {
        if (Ascii.IsValid(text)) return text.Length;
        var width = 0;
        foreach (var rune in text.EnumerateRunes()) width += Of(rune);
        return width;
    }

    /// <summary>The columns of one character: 0, 1 or 2.</summary>
    public static int Of(Rune rune)
    {
        if (rune.Value < 0x300) return 1;
        if (Rune.GetUnicodeCategory(rune) is UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark or UnicodeCategory.Format) return 0;
        return IsWide(rune.Value) ? 2 : 1;
    }

    /// <summary>The blocks that Unicode Standard Annex 11 counts as wide, each taken whole; from memory.</summary>
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
