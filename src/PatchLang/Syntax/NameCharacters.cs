namespace PatchLang.Syntax;

/// <summary>
/// Which characters a name may consist of. The generated table holds the letters, marks and digits of the grammar's lexer:
/// the platform's own tables follow another version of Unicode and differ in thousands of code points.
/// </summary>
internal static partial class NameCharacters
{
    private const int InsideOnly = 1;
    private const int Anywhere = 2;

    /// <summary>Whether a name may begin with a code point.</summary>
    public static bool CanStart(int codePoint) =>
        codePoint < 128 ? char.IsAsciiLetter((char)codePoint) || codePoint == '_' : ClassOf(codePoint) == Anywhere;

    /// <summary>Whether a name may continue with a code point.</summary>
    public static bool CanFollow(int codePoint) =>
        codePoint < 128 ? char.IsAsciiLetterOrDigit((char)codePoint) || codePoint == '_' : ClassOf(codePoint) != 0;

    /// <summary>The code point at a position, and its length in UTF-16 units; an unpaired surrogate counts as a code point of its own.</summary>
    public static int At(ReadOnlySpan<char> text, int at, out int length)
    {
        var unit = text[at];
        if (char.IsHighSurrogate(unit) && at + 1 < text.Length && char.IsLowSurrogate(text[at + 1]))
        {
            length = 2;
            return char.ConvertToUtf32(unit, text[at + 1]);
        }
        length = 1;
        return unit;
    }

    /// <summary>The end of the run of name characters that starts at a position.</summary>
    public static int EndOfName(ReadOnlySpan<char> text, int at)
    {
        while (at < text.Length && CanFollow(At(text, at, out var length))) at += length;
        return at;
    }

    /// <summary>Whether a text has the form of a name; reserved words are not excluded.</summary>
    public static bool IsName(ReadOnlySpan<char> text) =>
        text.Length > 0 && CanStart(At(text, 0, out _)) && EndOfName(text, 0) == text.Length;

    // Each table entry is `code point * 4 + class`; the class holds from there up to the next entry.
    private static int ClassOf(int codePoint)
    {
        var table = Table;
        var low = 0;
        var high = table.Length;
        while (high - low > 1)
        {
            var middle = (low + high) >>> 1;
            if (table[middle] >> 2 <= codePoint) low = middle;
            else high = middle;
        }
        return table[low] & 3;
    }
}
