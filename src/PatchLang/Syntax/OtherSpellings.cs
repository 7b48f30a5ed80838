using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Notations from elsewhere, or near misses: other arrows, brackets and ranges, a desk's words for a tap, a misspelt `sum`. Each
/// replacement is tried on the text, and reported only if the statement then parses without errors.
/// </summary>
internal static class OtherSpellings
{
    private const int LongestArrow = 3;

    /// <summary>Reports an error that such a notation caused; false if none did.</summary>
    public static bool Tell(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        if (error.Token >= broken.TokenCount || broken.TokenCount > Repairs.MostTokens) return false;
        // At the start of a line two dashes are most likely a comment; later on a line they may also be an arrow.
        return (broken.IsFirstOnLine(error.Token) && TellDashes(broken, error.Token)) || TellArrows(broken, error) || TellDots(broken, error) || TellDotNumber(broken, error) || TellFunction(broken, error) || TellBrackets(broken, error)
            || TellDot(broken, error) || TellBraces(broken, error) || TellDashes(broken, error.Token);
    }

    /// <summary>Reports a comment that starts with two dashes; false if it is not one.</summary>
    public static bool TellDashes(BrokenStatement broken, int first)
    {
        if (!IsDashes(first)) return false;
        var changes = ImmutableArray.CreateBuilder<TextChange>();
        for (var token = first; token < broken.TokenCount; token++)
            if (IsDashes(token)) changes.Add(new TextChange(broken.Reading.SpanOf(token, token + 2), "//"));
        if (!broken.IsLine && !broken.IsReadWith([.. changes])) return false;
        broken.Add(first, new TextProblem(TextFindings.StrayDashes, changes[0].Span) { Mends = [new TextMend("type `//`", false, changes.DrainToImmutable())] });
        return true;

        bool IsDashes(int token) =>
            broken.KindOf(token) == TokenKind.Minus && broken.KindOf(token + 1) == TokenKind.Minus && broken.IsGlued(token + 1) && !broken.IsGlued(token);
    }

    /// <summary>
    /// An arrow of other characters, or `to`. All that are spelt the same way are replaced, since people write it the same throughout.
    /// </summary>
    private static bool TellArrows(BrokenStatement broken, ShapeError error)
    {
        if (!error.Expected.Contains(TokenKind.Arrow)) return false;
        for (var count = Math.Min(LongestArrow, broken.TokenCount - error.Token); count > 0; count--)
        {
            if (!IsArrow(broken, error.Token, count)) continue;
            var written = broken.Reading.TextOf(broken.Reading.SpanOf(error.Token, error.Token + count));
            var changes = ImmutableArray.CreateBuilder<TextChange>();
            for (var token = error.Token; token + count <= broken.TokenCount; token++)
            {
                var span = broken.Reading.SpanOf(token, token + count);
                if (!broken.Reading.TextOf(span).SequenceEqual(written) || !IsArrow(broken, token, count)) continue;
                changes.Add(new TextChange(span, "->"));
                token += count - 1;
            }
            if (!broken.IsReadWith([.. changes])) continue;
            // `<-` points backwards, so its ends may have to be swapped, and `to` may be a name: neither is replaced without asking.
            var isSafe = broken.KindOf(error.Token) is not (TokenKind.Less or TokenKind.To);
            broken.Add(error.Token, new TextProblem(UnexpectedText.MessageOf(broken, error), broken.Reading.SpanOf(error.Token))
            {
                Mends = [new TextMend("write `->`", isSafe, changes.DrainToImmutable())],
            });
            return true;
        }
        return false;
    }

    private static bool IsArrow(BrokenStatement broken, int token, int count)
    {
        if (count == 1 && broken.KindOf(token) == TokenKind.To) return true;
        for (var i = token; i < token + count; i++)
            if ((i > token && !broken.IsGlued(i))
                || broken.KindOf(i) is not (TokenKind.Minus or TokenKind.Equal or TokenKind.Less or TokenKind.Greater or TokenKind.GreaterEqual or TokenKind.Arrow)) return false;
        return true;
    }

    /// <summary>A range with three dots.</summary>
    private static bool TellDots(BrokenStatement broken, ShapeError error)
    {
        if (broken.KindOf(error.Token) != TokenKind.Dot || broken.KindOf(error.Token - 1) != TokenKind.Dots || !broken.IsGlued(error.Token)) return false;
        return TellWritten(broken, error, broken.Reading.SpanOf(error.Token - 1, error.Token + 1), "..", isSafe: true);
    }

    /// <summary>
    /// A channel number after a dot, as in <c>desk.ch.1</c>; all in a statement are replaced, as people write them the same throughout.
    /// </summary>
    private static bool TellDotNumber(BrokenStatement broken, ShapeError error)
    {
        if (!IsDotNumber(error.Token - 1)) return false;
        var changes = ImmutableArray.CreateBuilder<TextChange>();
        for (var token = error.Token - 1; token < broken.TokenCount; token++)
            if (IsDotNumber(token)) changes.Add(new TextChange(broken.Reading.SpanOf(token, EndOf(token)), $"[{NumbersOf(token)}]"));
        if (!broken.IsReadWith([.. changes])) return false;
        var (written, meant) = ($".{NumbersOf(error.Token - 1)}", changes[0].NewText);
        var first = error.Token - 2;
        while (first > 1 && broken.KindOf(first - 1) == TokenKind.Dot && broken.KindOf(first - 2).CanBeName()) first -= 2;
        var path = broken.Reading.TextOf(broken.Reading.SpanOf(first, error.Token - 1)).ToString();
        broken.Add(error.Token, new TextProblem(TextFindings.ChannelBehindDot(path + written, path + meant), broken.Reading.SpanOf(error.Token - 1, EndOf(error.Token - 1)))
        {
            Mends = [new TextMend($"write `{path}{meant}`", true, changes.DrainToImmutable())],
        });
        return true;

        bool IsDotNumber(int token) =>
            broken.KindOf(token) == TokenKind.Dot && broken.KindOf(token - 1).CanBeName() && broken.KindOf(token + 1) == TokenKind.Number && broken.IsGlued(token) && broken.IsGlued(token + 1);

        int EndOf(int token) => broken.KindOf(token + 2) == TokenKind.Dots && broken.KindOf(token + 3) == TokenKind.Number ? token + 4 : token + 2;

        string NumbersOf(int token) => broken.Reading.TextOf(broken.Reading.SpanOf(token + 1, EndOf(token))).ToString();
    }

    /// <summary>Parentheses around a channel number, or brackets around a channel count.</summary>
    private static bool TellBrackets(BrokenStatement broken, ShapeError error)
    {
        var opener = broken.KindOf(error.Token);
        if (opener is not (TokenKind.OpenParen or TokenKind.OpenBracket) || !broken.KindOf(error.Token - 1).CanBeName()) return false;
        var changes = ImmutableArray.CreateBuilder<TextChange>();
        var first = default(TextSpan);
        var (open, close) = opener == TokenKind.OpenParen ? ("[", "]") : ("(", ")");
        for (var token = error.Token; token < broken.TokenCount; token++)
        {
            if (broken.KindOf(token) != opener || !broken.KindOf(token - 1).CanBeName()) continue;
            var end = token + 1;
            while (end < broken.TokenCount && broken.KindOf(end) != Spelling.CloserOf(opener)) end++;
            if (end == broken.TokenCount) return false;
            if (changes.Count == 0) first = broken.Reading.SpanOf(token, end + 1);
            changes.Add(new TextChange(broken.Reading.SpanOf(token), open));
            changes.Add(new TextChange(broken.Reading.SpanOf(end), close));
            token = end;
        }
        // The other brackets of this kind may be right as they are: try the first pair alone.
        if (!broken.IsReadWith([.. changes])) changes.RemoveRange(2, changes.Count - 2);
        if (!broken.IsReadWith([.. changes])) return false;
        var written = broken.Reading.TextOf(first).ToString();
        if (written is "(pre)" or "(post)") return TellWritten(broken, error, first, written is "(pre)" ? " before fader" : " after fader", isSafe: false);
        var meant = $"{open}{written[1..^1]}{close}";
        broken.Add(error.Token, new TextProblem(TextFindings.MisspeltWord(written, meant), first) { Mends = [new TextMend($"write `{meant}`", true, changes.DrainToImmutable())] });
        return true;
    }

    /// <summary>Settings in brackets of another kind: <c>(phantom)</c>.</summary>
    private static bool TellBraces(BrokenStatement broken, ShapeError error)
    {
        var opener = broken.KindOf(error.Token);
        if (opener is not (TokenKind.OpenParen or TokenKind.OpenBracket) || !error.Expected.Contains(TokenKind.OpenBrace)) return false;
        // The last closer is the settings' own: a card's count may stand in parentheses within.
        var end = broken.TokenCount - 1;
        while (end > error.Token && broken.KindOf(end) != Spelling.CloserOf(opener)) end--;
        if (end == error.Token || !broken.IsReadWith(new TextChange(broken.Reading.SpanOf(error.Token), "{"), new TextChange(broken.Reading.SpanOf(end), "}"))) return false;
        broken.Add(error.Token, new TextProblem(UnexpectedText.MessageOf(broken, error), broken.Reading.SpanOf(error.Token))
        {
            Mends = [new TextMend("write `{` and `}`", false, [new TextChange(broken.Reading.SpanOf(error.Token), "{"), new TextChange(broken.Reading.SpanOf(end), "}")])],
        });
        return true;
    }

    /// <summary>`sum` or `either`, misspelt before its parenthesis.</summary>
    private static bool TellFunction(BrokenStatement broken, ShapeError error)
    {
        if (broken.KindOf(error.Token) != TokenKind.OpenParen || broken.KindOf(error.Token - 1) != TokenKind.Name
            || Nearest.To(broken.TextOf(error.Token - 1), [Spelling.Of(TokenKind.Sum), Spelling.Of(TokenKind.Either)]) is not { } meant) return false;
        return TellWritten(broken, error, broken.Reading.SpanOf(error.Token - 1), meant, isSafe: true);
    }

    /// <summary>A tap in a desk's own words: `post`, `pre fader`.</summary>
    public static bool TellTap(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        if (broken.KindOf(error.Token) != TokenKind.Name) return false;
        var word = broken.TextOf(error.Token).ToLowerInvariant();
        var meant = word is "pre" or "prefader" or "pre_fader" ? "before fader" : word is "post" or "postfader" or "post_fader" ? "after fader" : null;
        if (meant is null) return false;
        var end = error.Token + 1;
        if (broken.KindOf(end) == TokenKind.Minus) end++;
        if (end < broken.TokenCount && broken.TextOf(end).ToLowerInvariant() is "fader" or "fade") end++;
        else end = error.Token + 1;
        // It may also be a feed of that name, with a comma missing before it: not safe to apply without asking.
        return TellWritten(broken, error, broken.Reading.SpanOf(error.Token, end), meant, isSafe: false);
    }

    /// <summary>A space instead of a dot in a socket's path. A feed runs between sockets, and a socket's path always has a dot.</summary>
    private static bool TellDot(BrokenStatement broken, ShapeError error)
    {
        var at = error.Token;
        if (!error.Expected.Contains(TokenKind.Arrow) || !broken.KindOf(at).CanBeName() || broken.KindOf(at) == TokenKind.To || broken.KindOf(at - 1) != TokenKind.Name || broken.KindOf(at + 1) != TokenKind.OpenBracket
            || broken.KindOf(at - 2) is not (TokenKind.Colon or TokenKind.Arrow or TokenKind.Cable or TokenKind.Comma or TokenKind.OpenParen)) return false;
        var gap = TextSpan.FromTo(broken.Reading.SpanOf(at - 1).End, broken.Reading.SpanOf(at).Start);
        var end = at + 2;
        while (end < broken.TokenCount && broken.KindOf(end) != TokenKind.CloseBracket) end++;
        if (broken.KindOf(end + 1) == TokenKind.Dot || broken.Reading.TextOf(gap).Trim().Length > 0 || broken.IsFirstOnLine(at) || !broken.IsReadWith(new TextChange(gap, "."))) return false;
        broken.Add(at, new TextProblem(TextFindings.Missing(".", broken.Quoted(at)), broken.Reading.SpanOf(at)) { Mends = [new TextMend("put `.` in", false, gap, ".")] });
        return true;
    }

    private static bool TellWritten(BrokenStatement broken, ShapeError error, TextSpan span, string meant, bool isSafe)
    {
        if (!broken.IsReadWith(new TextChange(span, meant))) return false;
        broken.Add(error.Token, new TextProblem(TextFindings.MisspeltWord(broken.Reading.TextOf(span).Trim().ToString(), meant.Trim()), span)
        {
            Mends = [new TextMend($"write `{meant.Trim()}`", isSafe, span, meant)],
        });
        return true;
    }
}
