using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>A comment in a gap.</summary>
/// <param name="Span">Its span in the gap, without trailing spaces of a line comment.</param>
/// <param name="IsLine">Whether it is a line comment, not a block comment.</param>
/// <param name="BreaksBefore">The number of line breaks before it.</param>
internal readonly record struct Comment(TextSpan Span, bool IsLine, int BreaksBefore);

/// <summary>The white space and comments between two tokens, read from front to back.</summary>
internal ref struct Gap(ReadOnlySpan<char> text)
{
    private readonly ReadOnlySpan<char> text = text;
    private int at;

    /// <summary>The gap's text.</summary>
    public readonly ReadOnlySpan<char> Text => text;

    /// <summary>The current comment.</summary>
    public Comment Current { get; private set; }

    /// <summary>The text of the current comment.</summary>
    public readonly ReadOnlySpan<char> CurrentText => text.Slice(Current.Span.Start, Current.Span.Length);

    /// <summary>Whether the current comment spans several lines.</summary>
    public readonly bool SpansLines => !Current.IsLine && CurrentText.ContainsAny('\r', '\n');

    /// <summary>The number of line breaks after the last comment, once all comments are read.</summary>
    public int BreaksBehind { get; private set; }

    /// <summary>Whether it holds no comment.</summary>
    public readonly bool IsWhiteSpace => !text.Contains('/');

    /// <summary>Moves to the next comment.</summary>
    public bool MoveNext()
    {
        var breaks = 0;
        for (; at < text.Length && text[at] != '/'; at++)
            if (text[at] == '\n' || (text[at] == '\r' && (at + 1 == text.Length || text[at + 1] != '\n'))) breaks++;
        if (at >= text.Length)
        {
            BreaksBehind = breaks;
            return false;
        }
        var rest = text[at..];
        var isLine = rest[1] == '/';
        var length = isLine ? rest.IndexOfAny('\r', '\n') : rest[2..].IndexOf("*/") + 4;
        if (length < 0) length = rest.Length;
        Current = new Comment(new TextSpan(at, isLine ? rest[..length].TrimEnd(" \t").Length : length), isLine, breaks);
        at += length;
        return true;
    }

    /// <summary>Whether the text contains a line comment, or a line break outside comments.</summary>
    public static bool HasBreak(ReadOnlySpan<char> text)
    {
        if (!text.ContainsAny('\r', '\n')) return false;
        var gap = new Gap(text);
        while (gap.MoveNext())
            if (gap.Current.IsLine || gap.Current.BreaksBefore > 0) return true;
        return gap.BreaksBehind > 0;
    }

    /// <summary>Whether some comment in the text can't be kept within a line.</summary>
    public static bool ForcesBreak(ReadOnlySpan<char> text)
    {
        if (!text.Contains('/')) return false;
        var gap = new Gap(text);
        while (gap.MoveNext())
            if (gap.Current.IsLine || gap.Current.BreaksBefore > 0 || gap.SpansLines) return true;
        return false;
    }
}
