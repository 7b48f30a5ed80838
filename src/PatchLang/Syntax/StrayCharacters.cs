using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>Characters that are not part of any token, and what to type instead. Repeats of one in a statement are one problem.</summary>
internal static class StrayCharacters
{
    private const string Quotes = "\u201C\u201D\u201E\u201F\u2018\u2019\u201A\u201B\u00AB\u00BB\u2039\u203A\uFF02'`\u00B4\u2033";
    private const string Arrows = "\u2192\u21D2\u27F6\u2794\u279C\u279D\u279E\u2B95\u21A6\u25BA\u25B6\u2799\u27F9\u21FE\u2B62";
    private const string Dashes = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u2043\uFE58\uFE63\uFF0D";

    public static void Tell(BrokenStatement broken)
    {
        var strays = Find(broken);
        if (strays.Count == 0) return;
        var all = strays.Where(s => s.Mend is not null).Select(s => s.Mend!.Value).ToList();
        var isSafe = all.Count == strays.Count && !strays.Exists(IsGuess) && broken.IsReadWith([.. all]);
        foreach (var group in strays.GroupBy(s => s.Message.Text))
        {
            var (token, span, message, _) = group.First();
            var count = group.Count();
            var changes = group.Where(s => s.Mend is not null).Select(s => s.Mend!.Value).ToImmutableArray();
            broken.Add(token, new TextProblem(count == 1 ? message : TextFindings.Repeated(message, count), span)
            {
                Mends = changes.IsEmpty ? [] : [new TextMend(TitleOf(message, changes), isSafe, changes)],
                Meant = message.Kind == TextFindings.UnreadableStatement ? NodeKind.Use : NodeKind.Statement,
                Covers = message.Kind == TextFindings.UnreadableStatement ? span.End : 0,
            });
        }

        // What a semicolon was typed for is a guess, and so is a slash in a name, which may stand for a dot.
        bool IsGuess((int Token, TextSpan Span, FindingMessage Message, TextChange? Mend) stray) =>
            stray.Message.Kind == TextFindings.UnreadableStatement
            || (stray.Message == TextFindings.StrayHash && RunsIntoNext(broken, stray.Token))
            || (broken.Reading.TextOf(stray.Token) is ";" && stray.Mend is not null && stray.Message != TextFindings.StraySemicolon)
            || stray.Mend is { NewText: ['[', ..] }
            || (broken.Reading.TextOf(stray.Token) is "/" or "\\" && stray.Mend is { NewText: "_" });
    }

    private static string TitleOf(FindingMessage message, ImmutableArray<TextChange> changes) => changes[0].NewText switch
    {
        " " when message == TextFindings.StraySemicolon || message == TextFindings.CommentNotOpened => "take it out",
        "" => "take it out",
        " " => "type a plain space",
        var text when text.StartsWith("use ", StringComparison.Ordinal) => $"write `{text}`",
        var text => $"type `{text}`",
    };

    private static List<(int Token, TextSpan Span, FindingMessage Message, TextChange? Mend)> Find(BrokenStatement broken)
    {
        var found = new List<(int, TextSpan, FindingMessage, TextChange?)>();
        for (var token = 0; token < broken.TokenCount; token++)
        {
            if (broken.KindOf(token) != TokenKind.Stray) continue;
            var (span, message, text) = Judge(broken, ref token);
            found.Add((token, span, message, text is null ? null : new TextChange(span, text)));
        }
        return found;
    }

    /// <summary>What a stray character was meant to be; <paramref name="token"/> is moved to the last token that belongs to it.</summary>
    private static (TextSpan Span, FindingMessage Message, string? Text) Judge(BrokenStatement broken, ref int token)
    {
        var span = broken.Reading.SpanOf(token);
        var text = broken.Reading.TextOf(span);
        var written = NameOf(text);
        var sign = text[0];
        if (Arrows.Contains(sign, StringComparison.Ordinal)) return (span, TextFindings.StrayArrow(written), "->");
        if (Quotes.Contains(sign, StringComparison.Ordinal)) return (span, TextFindings.StrayQuote, "\"");
        if (Dashes.Contains(sign, StringComparison.Ordinal)) return Dash(broken, ref token, span, written);
        if (char.IsWhiteSpace(sign)) return (span, TextFindings.StraySpace(written), " ");
        switch (sign)
        {
            case '\u200B' or '\u200C' or '\u200D' or '\u2060' or '\uFEFF' or '\u00AD' or '\u200E' or '\u200F':
                return (span, TextFindings.StrayInvisible(written), "");
            case ';':
                return IsLastOnLine(broken, token) ? (span, TextFindings.StraySemicolon, InsteadOf(broken, span)) : Semicolon(broken, span);
            case '\u00D7':
                return (span, TextFindings.StrayTimes, null);
            case '*' when broken.KindOf(token + 1) == TokenKind.Stray && broken.IsGlued(token + 1) && broken.Reading.TextOf(token + 1) is "/":
                token++;
                span = new TextSpan(span.Start, 2);
                return (span, TextFindings.CommentNotOpened, InsteadOf(broken, span));
            case '#' when UsesOfOtherLanguages.BehindHash(broken, ref token) is { } use:
                return use;
            case '#' when !IsInsideName(broken, token):
                // The rest of the line is the comment.
                while (token + 1 < broken.TokenCount && !broken.IsFirstOnLine(token + 1)) token++;
                return (span, TextFindings.StrayHash, "//");
            case '/' when broken.KindOf(token - 2) == TokenKind.Number && broken.IsGlued(token) && broken.IsGlued(token + 1):
                return DataRate(broken, ref token);
            case '#' when broken.KindOf(token + 1) == TokenKind.Number:
                var number = broken.Reading.SpanOf(token, token + 2);
                var bracketed = $"[{broken.TextOf(token + 1)}]";
                token++;
                return (number, TextFindings.StrayFor(written, bracketed), bracketed);
            case '/' or '&' or '#' or '\\' or '\u2215' or '\u2044' or '\uFF0F' when IsInsideName(broken, token):
                return (span, TextFindings.StrayInName(written), "_");
        }
        var typed = sign switch
        {
            '\u2026' => "..",
            '\u2264' => "<=",
            '\u2265' => ">=",
            '\u2126' => "ohm",
            '\u00B7' or '\u2022' or '\u3002' => ".",
            '\u3001' => ",",
            '\u300C' or '\u300D' or '\u300E' or '\u300F' => "\"",
            >= '\uFF01' and <= '\uFF5E' => ((char)(sign - 0xFEE0)).ToString(),
            _ => null,
        };
        return (span, typed is null ? TextFindings.Stray(written) : TextFindings.StrayFor(written, typed), typed);
    }

    private static bool IsLastOnLine(BrokenStatement broken, int token) =>
        token + 1 >= broken.TokenCount || broken.IsFirstOnLine(token + 1) || broken.KindOf(token + 1) == TokenKind.Stray;

    /// <summary>A semicolon within a line: meant as the sign that shares its key, or one that looks similar.</summary>
    private static (TextSpan Span, FindingMessage Message, string? Text) Semicolon(BrokenStatement broken, TextSpan span)
    {
        foreach (var sign in (ReadOnlySpan<string>)[":", ","])
            if (broken.IsReadWith(new TextChange(span, sign))) return (span, TextFindings.StrayFor("`;`", sign), sign);
        return (span, TextFindings.StraySemicolonInside, null);
    }

    /// <summary>The replacement for a sign that is not needed: a space if it separated two words, else nothing.</summary>
    private static string InsteadOf(BrokenStatement broken, TextSpan span)
    {
        var text = broken.Statement.Text.Span;
        var isApart = span.Start == 0 || char.IsWhiteSpace(text[span.Start - 1])
            || (span.End < text.Length ? char.IsWhiteSpace(text[span.End]) : broken.Next is null);
        return isApart ? "" : " ";
    }

    /// <summary>Whether the next statement begins on the same line as a token.</summary>
    private static bool RunsIntoNext(BrokenStatement broken, int token) =>
        broken.Next is not null && !broken.Statement.Text.Span[broken.Reading.SpanOf(token).End..].ContainsAny('\r', '\n');

    /// <summary>A data rate with its unit spelt differently: <c>Gb/s</c>.</summary>
    private static (TextSpan Span, FindingMessage Message, string? Text) DataRate(BrokenStatement broken, ref int token)
    {
        var span = broken.Reading.SpanOf(token - 1, token + 2);
        var written = broken.Reading.TextOf(span).ToString();
        var meant = written[0] switch
        {
            'G' or 'g' => "Gbit/s",
            'M' or 'm' => "Mbit/s",
            _ => null,
        };
        token++;
        return (span, TextFindings.UnknownUnit(written, "a data rate", Quantity.SymbolsOf(Measure.DataRate), meant), meant);
    }

    /// <summary>A typographic dash: an arrow, a range, a minus sign, or part of a name.</summary>
    private static (TextSpan Span, FindingMessage Message, string? Text) Dash(BrokenStatement broken, ref int token, TextSpan span, string written)
    {
        if (broken.KindOf(token + 1) is TokenKind.Greater && broken.IsGlued(token + 1))
        {
            token++;
            return (new TextSpan(span.Start, span.Length + 1), TextFindings.StrayArrow(written[..^1] + ">`"), "->");
        }
        var isFree = !broken.IsGlued(token) && !broken.IsGlued(token + 1);
        var typed = broken.KindOf(token - 1) == TokenKind.Number && broken.KindOf(token + 1) == TokenKind.Number ? ".."
            : broken.KindOf(token + 1) == TokenKind.Number && !(broken.IsGlued(token) && broken.IsGlued(token + 1)) ? "-"
            : IsInsideName(broken, token) ? "_"
            : isFree && broken.KindOf(token + 1).CanBeName() ? "->"
            : "-";
        return (span, typed == "_" ? TextFindings.StrayInName(written) : TextFindings.StrayFor(written, typed), typed);
    }

    private static bool IsInsideName(BrokenStatement broken, int token) =>
        broken.IsGlued(token) && broken.IsGlued(token + 1) && broken.KindOf(token - 1).CanBeName()
        && (broken.KindOf(token + 1).CanBeName() || broken.KindOf(token + 1) == TokenKind.Number);

    /// <summary>The character as quoted in a message; its code point if it is invisible.</summary>
    private static string NameOf(ReadOnlySpan<char> text)
    {
        var isWhole = Rune.DecodeFromUtf16(text, out var rune, out _) == System.Buffers.OperationStatus.Done;
        var code = isWhole ? rune.Value : text[0];
        var isVisible = isWhole && Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate
            or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned or UnicodeCategory.SpaceSeparator or UnicodeCategory.LineSeparator
            or UnicodeCategory.ParagraphSeparator or UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark);
        return isVisible ? $"`{text}`" : $"U+{code:X4}";
    }
}
