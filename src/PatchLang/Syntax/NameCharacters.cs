namespace PatchLang.Syntax;

/// <summary>
/// Which characters names are made of. The table beside this class holds the letters, marks and digits as the
/// grammar's lexer knows them: the platform's own tables belong to another version of Unicode and differ at thousands.
/// </summary>
internal static partial class NameCharacters
{
    private const int InsideOnly = 1;
    private const int Anywhere = 2;

    /// <summary>Whether a name may begin with it.</summary>
    public static bool CanStart(int codePoint) =>
        codePoint < 128 ? char.IsAsciiLetter((char)codePoint) || codePoint == '_' : ClassOf(codePoint) == Anywhere;

    /// <summary>Whether a name may go on with it.</summary>
    public static bool CanFollow(int codePoint) =>
        codePoint < 128 ? char.IsAsciiLetterOrDigit((char)codePoint) || codePoint == '_' : ClassOf(codePoint) != 0;

    /// <summary>The code point at a position and its length in UTF-16 units; an unpaired surrogate stands for itself.</summary>
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

    /// <summary>The end of the name characters from a position on.</summary>
    public static int EndOfName(ReadOnlySpan<char> text, int at)
    {
        while (at < text.Length && CanFollow(At(text, at, out var length))) at += length;
        return at;
    }

    /// <summary>Whether a whole text can be a name, reserved words aside.</summary>
    public static bool IsName(ReadOnlySpan<char> text) =>
        text.Length > 0 && CanStart(At(text, 0, out _)) && EndOfName(text, 0) == text.Length;

    // Each entry of the table is a code point, times four, plus the class of the characters from there to the next entry.
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
