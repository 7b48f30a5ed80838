using System.Buffers;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>A file taken in as other languages do it: <c>include "stage.rig"</c>, <c>import library/stage</c>, <c>#include "stage.rig"</c>.</summary>
internal static class UsesOfOtherLanguages
{
    private const string Ending = ".rig";

    private static readonly SearchValues<char> NotInPath = SearchValues.Create(" \t\"{}[]:");

    /// <summary>Reports a line that begins with another language's word for <c>use</c>; false if it is something else.</summary>
    public static bool Tell(BrokenStatement broken)
    {
        if (broken.KindOf(0) != TokenKind.Name || !IsWord(broken.Reading.TextOf(0)) || UseFrom(broken, 0) is not { } use) return false;
        broken.Add(0, new TextProblem(TextFindings.MisspeltOpener(broken.TextOf(0), use.Text), broken.Reading.SpanOf(0))
        {
            Mends = [new TextMend($"write `{use.Text}`", use.IsQuoted, use.Span, use.Text)],
            Meant = NodeKind.Use,
            Covers = use.Span.End,
        });
        return true;
    }

    /// <summary>
    /// What a hash was written for, if such a word is glued to it; null if it is something else.
    /// <paramref name="token"/> is then moved to the last token of the line.
    /// </summary>
    public static (TextSpan Span, FindingMessage Message, string? Text)? BehindHash(BrokenStatement broken, ref int token)
    {
        if (!broken.IsGlued(token + 1) || !IsWord(broken.Reading.TextOf(token + 1)) || UseFrom(broken, token + 1) is not { } use) return null;
        var span = TextSpan.FromTo(broken.Reading.SpanOf(token).Start, use.Span.End);
        var written = "#" + broken.TextOf(token + 1);
        while (token + 1 < broken.TokenCount && !broken.IsFirstOnLine(token + 1)) token++;
        return (span, TextFindings.MisspeltOpener(written, use.Text), use.Text);
    }

    private static bool IsWord(ReadOnlySpan<char> word) =>
        word.Equals("include", StringComparison.OrdinalIgnoreCase) || word.Equals("import", StringComparison.OrdinalIgnoreCase)
        || word.Equals("using", StringComparison.OrdinalIgnoreCase) || word.Equals("require", StringComparison.OrdinalIgnoreCase)
        || word.Equals("load", StringComparison.OrdinalIgnoreCase) || word.Equals("source", StringComparison.OrdinalIgnoreCase);

    /// <summary>The statement that a line was meant as, and the span it replaces; null if the rest of the line is no path.</summary>
    private static (string Text, TextSpan Span, bool IsQuoted)? UseFrom(BrokenStatement broken, int word)
    {
        var end = word + 1;
        while (end < broken.TokenCount && !broken.IsFirstOnLine(end)) end++;
        if (end == word + 1) return null;
        var reading = broken.Reading;
        var rest = reading.TextOf(reading.SpanOf(word + 1, end)).ToString();
        // The path's ending is a reserved word, and outside of quotes it opens the next statement.
        if (end == broken.TokenCount && broken.KindOf(end - 1) == TokenKind.Dot && broken.Next is { Kind: NodeKind.Rig } next)
            rest += next.Text.Span[..(next.Text.Span.IndexOfAny('\r', '\n') is var line and >= 0 ? line : next.Text.Length)].ToString();
        var length = rest.TrimEnd().Length;
        rest = rest.TrimEnd().TrimEnd(';');
        var prefix = "";
        if (end - word > 3 && broken.KindOf(end - 2) == TokenKind.As && broken.KindOf(end - 1).CanBeName())
        {
            prefix = $" as {broken.TextOf(end - 1)}";
            rest = rest[..(reading.SpanOf(end - 2).Start - reading.SpanOf(word + 1).Start)];
        }
        var path = rest.Trim().Trim(['(', ')', '<', '>', ' ']);
        var isQuoted = path is ['"', .., '"'];
        path = path.Trim(['"', '\'']).Replace('\\', '/');
        var isPath = isQuoted || path.Contains('/', StringComparison.Ordinal) || path.EndsWith(Ending, StringComparison.Ordinal);
        // Without quotes, a line of words is a remark.
        if (path.Length == 0 || path.AsSpan().ContainsAny(NotInPath) || !isPath) return null;
        if (!path.EndsWith(Ending, StringComparison.Ordinal)) path += Ending;
        var start = reading.SpanOf(word).Start;
        return ($"use \"{path}\"{prefix}", TextSpan.FromTo(start, reading.SpanOf(word + 1).Start + length), isQuoted);
    }
}
