using System.Buffers;
using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace PatchLang.Syntax;

/// <summary>
/// The lexer: finds the tokens of a text as <c>grammar/PatchLexer.g4</c> defines them. It never looks at text before the position
/// it starts from, so a statement's text gives the same tokens alone as in its file.
/// </summary>
internal static class Scanner
{
    private const int NowhereKnown = int.MaxValue;

    /// <summary>Which ASCII characters a name can continue with, indexed by code: 1 if it can, 0 if not.</summary>
    private static ReadOnlySpan<byte> NameLetters =>
    [
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, // digits
        0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 1, // capitals, _
        0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, // small letters
    ];

    private static readonly SearchValues<char> StringEnds = SearchValues.Create("\"\\\r\n");

    /// <summary>Scans the next token at or after <paramref name="at"/>, and moves <paramref name="at"/> to its end.</summary>
    /// <returns>False at the end of the text.</returns>
    public static bool Next(ReadOnlySpan<char> text, ref int at, out TokenKind kind, out int start)
    {
        var noCommentEndFrom = NowhereKnown;
        return Next(text, ref at, out kind, out start, ref noCommentEndFrom);
    }

    /// <summary>
    /// Scans the next token when a whole text is scanned. From <paramref name="noCommentEndFrom"/> on, the text is known to hold no
    /// <c>*/</c>: without it each unterminated comment would search the rest of the text again.
    /// </summary>
    public static bool Next(ReadOnlySpan<char> text, ref int at, out TokenKind kind, out int start, ref int noCommentEndFrom)
    {
        var i = at;
        while ((uint)i < (uint)text.Length)
        {
            var c = text[i];
            if (c == ' ')
            {
                i++;
                continue;
            }
            start = i;
            switch (c)
            {
                case '\t' or '\r' or '\n':
                    i++;
                    continue;

                case '/':
                    if (i + 1 < text.Length && text[i + 1] == '/')
                    {
                        i = EndOfLine(text, i + 2);
                        continue;
                    }
                    if (i + 1 < text.Length && text[i + 1] == '*')
                    {
                        if (EndOfComment(text, i, ref noCommentEndFrom) is var end and >= 0)
                        {
                            i = end;
                            continue;
                        }
                        at = EndOfOpenComment(text, i + 2);
                        kind = TokenKind.OpenBlock;
                        return true;
                    }
                    break;

                case >= 'a' and <= 'z' or >= 'A' and <= 'Z' or '_':
                    i = EndOfWord(text, i + 1);
                    kind = Words.KindOf(text[start..i]);
                    if (kind == TokenKind.Name && i - start == 4 && IsRatio(text[start..])) (kind, i) = (TokenKind.Ratio, start + 6);
                    at = i;
                    return true;

                case >= '0' and <= '9':
                    at = EndOfNumber(text, i + 1);
                    kind = TokenKind.Number;
                    return true;

                case '"':
                    at = EndOfString(text, i + 1, out var closed);
                    kind = closed ? TokenKind.String : TokenKind.OpenString;
                    return true;
            }

            at = i + 1;
            var next = at < text.Length ? text[at] : '\0';
            (kind, var length) = c switch
            {
                '-' => next == '>' ? (TokenKind.Arrow, 2) : (TokenKind.Minus, 1),
                '.' => next == '.' ? (TokenKind.Dots, 2) : (TokenKind.Dot, 1),
                ',' => (TokenKind.Comma, 1),
                ':' => (TokenKind.Colon, 1),
                '[' => (TokenKind.OpenBracket, 1),
                ']' => (TokenKind.CloseBracket, 1),
                '{' => (TokenKind.OpenBrace, 1),
                '}' => (TokenKind.CloseBrace, 1),
                '(' => (TokenKind.OpenParen, 1),
                ')' => (TokenKind.CloseParen, 1),
                '=' => (TokenKind.Equal, 1),
                '+' => (TokenKind.Plus, 1),
                '%' => (TokenKind.Ratio, 1),
                '<' => next == '=' ? (TokenKind.LessEqual, 2) : (TokenKind.Less, 1),
                '>' => next == '=' ? (TokenKind.GreaterEqual, 2) : (TokenKind.Greater, 1),
                _ => Rare(text[i..]),
            };
            at = i + length;
            return true;
        }
        at = i;
        start = i;
        kind = TokenKind.None;
        return false;
    }

    /// <summary>
    /// Finds the next token when its kind is known from an earlier scan, so that only its position is needed. Gives the same result as
    /// <see cref="Next(ReadOnlySpan{char}, ref int, out TokenKind, out int)"/>, in half the time.
    /// </summary>
    public static void Find(ReadOnlySpan<char> text, TokenKind known, ref int at, out int start)
    {
        if (known is TokenKind.OpenBlock or TokenKind.Stray)
        {
            Next(text, ref at, out _, out start);
            return;
        }
        start = (uint)at < (uint)text.Length && text[at] is > '/' ? at : EndOfGap(text, at);
        at = known switch
        {
            TokenKind.String or TokenKind.OpenString => EndOfString(text, start + 1, out _),
            TokenKind.Number => EndOfNumber(text, start + 1),
            TokenKind.Ratio => start + (text[start] == '%' ? 1 : 6),
            TokenKind.Arrow or TokenKind.Dots or TokenKind.LessEqual or TokenKind.GreaterEqual => start + 2,
            >= TokenKind.Less and <= TokenKind.Minus => start + 1,
            _ => EndOfWord(text, start),
        };
    }

    // White space and terminated comments.
    private static int EndOfGap(ReadOnlySpan<char> text, int at)
    {
        while ((uint)at < (uint)text.Length)
            switch (text[at])
            {
                case ' ' or '\t' or '\r' or '\n':
                    at++;
                    break;
                case '/' when text[at + 1] == '/':
                    at = EndOfLine(text, at + 2);
                    break;
                case '/':
                    at += text[(at + 2)..].IndexOf("*/") + 4;
                    break;
                default:
                    return at;
            }
        return at;
    }

    // A name that begins outside ASCII, or a character that no token can contain.
    private static (TokenKind Kind, int Length) Rare(ReadOnlySpan<char> text)
    {
        if (!NameCharacters.CanStart(NameCharacters.At(text, 0, out var length))) return (TokenKind.Stray, length);
        var end = NameCharacters.EndOfName(text, length);
        return (Words.KindOf(text[..end]), end);
    }

    private static bool IsRatio(ReadOnlySpan<char> text) =>
        text.StartsWith("Mbit/s", StringComparison.Ordinal) || text.StartsWith("Gbit/s", StringComparison.Ordinal);

    private static int EndOfWord(ReadOnlySpan<char> text, int at)
    {
        // Names are most of a plan: test eight characters at once while that many are left.
        while (at + Vector128<ushort>.Count <= text.Length)
        {
            var letters = Vector128.Create(MemoryMarshal.Cast<char, ushort>(text.Slice(at, Vector128<ushort>.Count)));
            var goOn = Vector128.LessThanOrEqual((letters | Vector128.Create((ushort)0x20)) - Vector128.Create((ushort)'a'), Vector128.Create((ushort)('z' - 'a')))
                | Vector128.LessThanOrEqual(letters - Vector128.Create((ushort)'0'), Vector128.Create((ushort)9))
                | Vector128.Equals(letters, Vector128.Create((ushort)'_'));
            var others = ~goOn.AsByte().ExtractMostSignificantBits() & 0xFFFF; // two bits per character
            at += BitOperations.TrailingZeroCount(others | 0x10000) / 2;
            if (others != 0) return text[at] >= 128 ? NameCharacters.EndOfName(text, at) : at;
        }
        while ((uint)at < (uint)text.Length && text[at] < 128 && NameLetters[text[at]] != 0) at++;
        return at < text.Length && text[at] >= 128 ? NameCharacters.EndOfName(text, at) : at;
    }

    private static int EndOfNumber(ReadOnlySpan<char> text, int at)
    {
        at = EndOfDigits(text, at);
        return at + 1 < text.Length && text[at] == '.' && char.IsAsciiDigit(text[at + 1]) ? EndOfDigits(text, at + 2) : at;
    }

    private static int EndOfDigits(ReadOnlySpan<char> text, int at)
    {
        while ((uint)at < (uint)text.Length && char.IsAsciiDigit(text[at])) at++;
        return at;
    }

    private static int EndOfLine(ReadOnlySpan<char> text, int at)
    {
        var length = text[at..].IndexOfAny('\r', '\n');
        return length < 0 ? text.Length : at + length;
    }

    private static int EndOfString(ReadOnlySpan<char> text, int at, out bool closed)
    {
        closed = false;
        while (true)
        {
            var length = text[at..].IndexOfAny(StringEnds);
            if (length < 0) return text.Length;
            at += length;
            switch (text[at])
            {
                case '"':
                    closed = true;
                    return at + 1;
                case '\\' when at + 1 < text.Length && text[at + 1] is not ('\r' or '\n'):
                    at += 2;
                    break;
                case '\\':
                    return at + 1;
                default:
                    return at;
            }
        }
    }

    private static int EndOfComment(ReadOnlySpan<char> text, int start, ref int noCommentEndFrom)
    {
        if (start + 2 >= noCommentEndFrom) return -1;
        var length = text[(start + 2)..].IndexOf("*/");
        if (length >= 0) return start + length + 4;
        noCommentEndFrom = start + 2;
        return -1;
    }

    /// <summary>Where an unterminated comment ends: at the next opening word that is first on its line, or at the end of the text.</summary>
    private static int EndOfOpenComment(ReadOnlySpan<char> text, int at)
    {
        while (true)
        {
            at = EndOfLine(text, at);
            while (at < text.Length && text[at] is ' ' or '\t' or '\r' or '\n') at++;
            if (at == text.Length) return at;
            if (char.IsAsciiLetterLower(text[at]) && Words.KindOf(text[at..NameCharacters.EndOfName(text, at)]).IsOpener()) return at;
        }
    }
}
