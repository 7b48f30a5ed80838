using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>Unterminated strings and comments.</summary>
internal static class OpenTexts
{
    /// <summary>Reports an unterminated comment. It extends to the next statement, so it is always the last token of its own.</summary>
    public static void TellComment(BrokenStatement broken)
    {
        var last = broken.TokenCount - 1;
        if (broken.KindOf(last) != TokenKind.OpenBlock) return;
        var span = broken.Reading.SpanOf(last);
        var text = broken.Reading.TextOf(span).TrimEnd();
        var mend = new TextChange(new TextSpan(span.Start + text.Length, 0), " */");
        var isSafe = !text.ContainsAny('\r', '\n') && (last == 0 || broken.IsReadWith(mend));
        broken.Add(last, new TextProblem(TextFindings.CommentNotClosed, new TextSpan(span.Start, 2))
        {
            Mends = [new TextMend("close the comment with `*/`", isSafe, mend.Span, mend.NewText)],
        });
    }

    /// <summary>Reports each string that is still open at the end of its line.</summary>
    public static void TellTexts(BrokenStatement broken)
    {
        for (var token = 0; token < broken.TokenCount; token++)
            if (broken.KindOf(token) == TokenKind.OpenString) TellText(broken, token);
    }

    private static void TellText(BrokenStatement broken, int token)
    {
        var span = broken.Reading.SpanOf(token);
        var text = broken.Reading.TextOf(span).TrimEnd();
        var ways = WaysToClose(span.Start, text);
        if (ways.Find(w => broken.IsReadWith(w)) is { NewText: not null } read) Add(token, read);
        else if (WayToOpen(broken, token) is { } open)
            broken.Add(token, new TextProblem(TextFindings.Missing("\"", broken.Quoted(open)), broken.Reading.SpanOf(open))
            {
                Mends = [new TextMend("open the text with `\"`", false, new TextSpan(broken.Reading.SpanOf(open).Start, 0), "\"")],
            });
        else if (WayBefore() is var (opener, way)) Add(opener, way);
        else Add(token, ways[0]);

        // Where a quote is missing earlier on the line, each text there runs up to the opening quote of the one behind it.
        (int, TextChange)? WayBefore()
        {
            for (var earlier = broken.LineStartOf(token); earlier < token; earlier++)
            {
                if (broken.KindOf(earlier) != TokenKind.String) continue;
                var its = broken.Reading.SpanOf(earlier);
                foreach (var way in WaysInside(its.Start, broken.Reading.TextOf(its)[..^1]))
                    if (broken.IsReadWith(way)) return (earlier, way);
            }
            return null;
        }

        void Add(int opener, TextChange way)
        {
            var its = TextSpan.FromTo(broken.Reading.SpanOf(opener).Start, way.Span.Start);
            broken.Add(token, new TextProblem(TextFindings.TextNotClosed(BrokenStatement.Quoted(broken.Reading.TextOf(its))), its)
            {
                Mends = [new TextMend("close the text with `\"`", false, way.Span, way.NewText)],
            });
        }
    }

    /// <summary>If only the closing quote was written: the word that the opening quote probably belongs before; null if there is none.</summary>
    private static int? WayToOpen(BrokenStatement broken, int token)
    {
        for (var first = token - 1; first > 0 && broken.KindOf(first).CanBeName() && !broken.IsFirstOnLine(first); first--)
            if (broken.IsReadWith(new TextChange(new TextSpan(broken.Reading.SpanOf(first).Start, 0), "\""))) return first;
        return null;
    }

    /// <summary>
    /// Where the string may have been meant to end: at the end of its line first,
    /// then wherever something starts that looks like the rest of the statement.
    /// </summary>
    private static List<TextChange> WaysToClose(int start, ReadOnlySpan<char> text)
    {
        var ways = new List<TextChange>();
        // A quote after a backslash would be escaped and not close the string.
        var end = text.Length;
        while (end > 1 && text[end - 1] == '\\') end--;
        // The closing quote may be there in its typographic form, as word processors insert it.
        if (text.LastIndexOfAny('\u201C', '\u201D', '\u201F') is var curly and > 0) ways.Add(new TextChange(new TextSpan(start + curly, 1), "\""));
        ways.Add(new TextChange(new TextSpan(start + end, text.Length - end), "\""));
        ways.AddRange(WaysInside(start, text));
        return ways;
    }

    /// <summary>Where something starts within a text that looks like the rest of the statement.</summary>
    private static List<TextChange> WaysInside(int start, ReadOnlySpan<char> text)
    {
        var ways = new List<TextChange>();
        for (var i = 1; i < text.Length; i++)
        {
            // The comma between two labels stands right before the second.
            var isComma = text[i] == ',' && text[(i + 1)..].IsWhiteSpace();
            if (!isComma && (text[i - 1] is not (' ' or '\t') || !BeginsSomething(text[i..]))) continue;
            var gap = i;
            while (gap > 1 && text[gap - 1] is ' ' or '\t') gap--;
            ways.Add(new TextChange(new TextSpan(start + gap, 0), "\""));
        }
        return ways;
    }

    private static bool BeginsSomething(ReadOnlySpan<char> text) =>
        text[0] is ':' or '{' or '}' or '"' || text.StartsWith("->") || text.StartsWith("//") || text.StartsWith("/*") || text.StartsWith("at ") || text.StartsWith("during ") || BeginsSetting(text);

    private static bool BeginsSetting(ReadOnlySpan<char> text) =>
        NameCharacters.EndOfName(text, 0) is > 0 and var end && text[end..].TrimStart(' ') is ['=', ..];
}
