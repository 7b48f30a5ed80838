using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>A comment in a gap.</summary>
/// <param name="Span">Where it stands in the gap, trailing blanks of a line comment left out.</param>
/// <param name="IsLine">Whether it reaches to the end of its line, rather than to its closing mark.</param>
/// <param name="BreaksBefore">How many line breaks stand between it and what comes before.</param>
internal readonly record struct Comment(TextSpan Span, bool IsLine, int BreaksBefore);

/// <summary>What stands between two tokens: white space and comments. Read from front to back.</summary>
internal ref struct Gap(ReadOnlySpan<char> text)
{
    private readonly ReadOnlySpan<char> text = text;
    private int at;

    /// <summary>The gap's text.</summary>
    public readonly ReadOnlySpan<char> Text => text;

    /// <summary>The comment it stands at.</summary>
    public Comment Current { get; private set; }

    /// <summary>The text of the comment it stands at.</summary>
    public readonly ReadOnlySpan<char> CurrentText => text.Slice(Current.Span.Start, Current.Span.Length);

    /// <summary>Whether the comment it stands at takes several lines.</summary>
    public readonly bool SpansLines => !Current.IsLine && CurrentText.ContainsAny('\r', '\n');

    /// <summary>The line breaks behind the last comment, once there is no other.</summary>
    public int BreaksBehind { get; private set; }

    /// <summary>Whether it holds no comment.</summary>
    public readonly bool IsWhiteSpace => !text.Contains('/');

    /// <summary>Goes to the next comment.</summary>
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

    /// <summary>Whether a line comment stands in the text, or a line is broken outside of comments.</summary>
    public static bool HasBreak(ReadOnlySpan<char> text)
    {
        if (!text.ContainsAny('\r', '\n')) return false;
        var gap = new Gap(text);
        while (gap.MoveNext())
            if (gap.Current.IsLine || gap.Current.BreaksBefore > 0) return true;
        return gap.BreaksBehind > 0;
    }

    /// <summary>Whether a comment of the text can't stand inside a line.</summary>
    public static bool ForcesBreak(ReadOnlySpan<char> text)
    {
        if (!text.Contains('/')) return false;
        var gap = new Gap(text);
        while (gap.MoveNext())
            if (gap.Current.IsLine || gap.Current.BreaksBefore > 0 || gap.SpansLines) return true;
        return false;
    }
}
