using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// What people say or calculate, written as they would say it: `a and b`, `lead + keys`, `+48V`, `in bells`, `mic 1`. Each replacement is
/// tried on the text, and reported only if the statement then parses without errors. Only `48V` is mended unasked.
/// </summary>
internal static class OtherWords
{
    // Names of several words that a space has cut in two.
    private static readonly ImmutableArray<string> JoinedWords = ["twisted_pair", "gain_by", "clocked_by"];

    // What people write for `during`.
    private static readonly ImmutableArray<string> InActs = ["in", "for", "at", "on", "only", "while", "when", "act"];

    /// <summary>Reports an error that such words caused; false if none did.</summary>
    public static bool Tell(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        if (broken.TokenCount > Repairs.MostTokens) return false;
        return TellTap(broken, error) || TellPhantom(broken, error) || TellBareNumber(broken, error) || TellDuring(broken, error) || TellWord(broken, error) || TellJoined(broken, error) || TellAnd(broken, error) || TellEqual(broken, error)
            || TellLastComma(broken, error) || TellOrder(broken, error);
    }

    /// <summary>A tap without its first word or its last: `lead fader`, `lead after`.</summary>
    private static bool TellTap(BrokenStatement broken, ShapeError error)
    {
        var at = error.Token;
        if (broken.KindOf(at - 1) is var word and (TokenKind.After or TokenKind.Before) && broken.Statement.Kind != NodeKind.Act)
        {
            var tap = new TextSpan(broken.Reading.SpanOf(at - 1).End, 0);
            if (!broken.IsReadWith(new TextChange(tap, " fader"))) return false;
            broken.Add(at, new TextProblem(TextFindings.TapWithoutPlace(Spelling.Of(word)), broken.Reading.SpanOf(at - 1)) { Mends = [new TextMend($"write `{Spelling.Of(word)} fader`", false, tap, " fader")] });
            return true;
        }
        if (broken.KindOf(at) != TokenKind.Name || broken.TextOf(at) != "fader") return false;
        var span = new TextSpan(broken.Reading.SpanOf(at).Start, 0);
        if (!broken.IsReadWith(new TextChange(span, "before "))) return false;
        broken.Add(at, new TextProblem(TextFindings.TapWithoutSide, broken.Reading.SpanOf(at))
        {
            Mends = [new TextMend("write `before fader`", false, span, "before "), new TextMend("write `after fader`", false, span, "after ")],
        });
        return true;
    }

    /// <summary>Phantom power by its voltage: `48V`, `+48 V`.</summary>
    public static bool TellPhantom(BrokenStatement broken, ShapeError error)
    {
        var first = broken.KindOf(error.Token) == TokenKind.Plus ? error.Token : broken.KindOf(error.Token - 1) == TokenKind.Plus ? error.Token - 1 : error.Token;
        var number = broken.KindOf(first) == TokenKind.Plus ? first + 1 : first;
        if (broken.KindOf(number) == TokenKind.None || number >= broken.TokenCount) return false;
        for (var end = Math.Min(number + 2, broken.TokenCount); end > number; end--)
            if (broken.Reading.TextOf(broken.Reading.SpanOf(number, end)).ToString().Replace(" ", "", StringComparison.Ordinal).Equals("48V", StringComparison.OrdinalIgnoreCase))
                return broken.TextOf(first - 1) == "phantom" ? TellTooMuch(broken, first, end) : TellWritten(broken, error, broken.Reading.SpanOf(first, end), "phantom", isSafe: first == number && broken.IsGlued(number + 1));
        return false;
    }

    private static bool TellTooMuch(BrokenStatement broken, int first, int end)
    {
        var span = broken.Reading.SpanOf(first, end);
        var change = new TextChange(TextSpan.FromTo(broken.Reading.SpanOf(first - 1).End, span.End), "");
        if (!broken.IsReadWith(change)) return false;
        var written = BrokenStatement.Quoted(broken.Reading.TextOf(span));
        broken.Add(first, new TextProblem(TextFindings.TooMuchBehind(broken.Quoted(first - 1), written), span) { Mends = [new TextMend($"take {written} out", false, [change])] });
        return true;
    }

    /// <summary>What is said of a cable in another order than medium, length, label.</summary>
    private static bool TellOrder(BrokenStatement broken, ShapeError error)
    {
        if (broken.Statement.Kind != NodeKind.Cable || error.Token >= broken.TokenCount) return false;
        var first = error.Token;
        while (first > 0 && broken.KindOf(first - 1) != TokenKind.Colon) first--;
        if (first == 0) return false;
        string medium = "", length = "", label = "";
        var token = first;
        for (int end; token < broken.TokenCount && broken.KindOf(token) != TokenKind.During; token = end)
        {
            end = token + 1;
            var kind = broken.KindOf(token);
            if (kind == TokenKind.Number) end++;
            while (kind.CanBeName() && broken.IsGlued(end)) end++;
            if (end > broken.TokenCount) return false;
            ref var piece = ref kind == TokenKind.String ? ref label : ref kind == TokenKind.Number ? ref length : ref medium;
            if (piece.Length > 0) return false;
            piece = broken.Reading.TextOf(broken.Reading.SpanOf(token, end)).ToString();
        }
        var span = broken.Reading.SpanOf(first, token);
        var meant = string.Join(' ', new[] { medium, length, label }.Where(p => p.Length > 0));
        if (!broken.IsReadWith(new TextChange(span, meant))) return false;
        broken.Add(error.Token, new TextProblem(TextFindings.OrderOfCable(meant), span) { Mends = [new TextMend($"write `{meant}`", false, span, meant)] });
        return true;
    }

    /// <summary>A channel number without its brackets: <c>rack.mic 1</c>; all in a statement are put in brackets.</summary>
    private static bool TellBareNumber(BrokenStatement broken, ShapeError error)
    {
        if (!IsBare(error.Token)) return false;
        var changes = ImmutableArray.CreateBuilder<TextChange>();
        for (var token = error.Token; token < broken.TokenCount; token++)
            if (IsBare(token)) changes.Add(new TextChange(TextSpan.FromTo(broken.Reading.SpanOf(token - 1).End, broken.Reading.SpanOf(EndOf(token) - 1).End), $"[{NumbersOf(token)}]"));
        if (!broken.IsReadWith([.. changes])) changes.RemoveRange(1, changes.Count - 1);
        if (!broken.IsReadWith([.. changes])) return false;
        var first = error.Token - 1;
        while (first > 1 && broken.KindOf(first - 1) == TokenKind.Dot && broken.KindOf(first - 2).CanBeName()) first -= 2;
        var path = broken.Reading.TextOf(broken.Reading.SpanOf(first, error.Token)).ToString();
        var (written, meant) = ($"{path} {NumbersOf(error.Token)}", path + changes[0].NewText);
        broken.Add(error.Token, new TextProblem(TextFindings.ChannelBehindDot(written, meant), broken.Reading.SpanOf(error.Token, EndOf(error.Token)))
        {
            Mends = [new TextMend($"write `{meant}`", false, changes.DrainToImmutable())],
        });
        return true;

        bool IsBare(int token) =>
            broken.KindOf(token) == TokenKind.Number && broken.KindOf(token - 1).CanBeName() && !broken.IsGlued(token) && !broken.IsFirstOnLine(token)
            && !broken.KindOf(token + 1).CanBeName() && broken.KindOf(token - 2) is TokenKind.Dot or TokenKind.Unit or TokenKind.Feed;

        int EndOf(int token) => broken.KindOf(token + 1) is TokenKind.Dots or TokenKind.Minus && broken.KindOf(token + 2) == TokenKind.Number ? token + 3 : token + 1;

        string NumbersOf(int token) => EndOf(token) == token + 1 ? broken.TextOf(token) : $"{broken.TextOf(token)}..{broken.TextOf(token + 2)}";
    }

    /// <summary>A word or sign in place of the one that the statement has there: <c>unit rack as StageRack</c>, <c>follow rack to net</c>.</summary>
    private static bool TellWord(BrokenStatement broken, ShapeError error)
    {
        var at = error.Token;
        if (at >= broken.TokenCount || broken.IsFirstOnLine(at)) return false;
        var word = broken.TextOf(at).ToLowerInvariant();
        var meant = word switch
        {
            "as" or "is" or "are" when error.Expected.Contains(TokenKind.Colon) => ":",
            "to" or "->" when error.Expected.Contains(TokenKind.From) => "from",
            "to" when error.Expected.Contains(TokenKind.Dots) => "..",
            "not" when error.Expected.Contains(TokenKind.Never) => "never",
            "contains" or "has" or "gets" or "includes" when error.Expected.Contains(TokenKind.Hears) => "hears",
            _ => null,
        };
        if (meant is null) return false;
        var span = broken.Reading.SpanOf(at);
        if (meant == "..") span = TextSpan.FromTo(broken.Reading.SpanOf(at - 1).End, broken.Reading.SpanOf(at + 1).Start);
        return TellWritten(broken, error, span, meant);
    }

    /// <summary>An act with another word in front of it than `during`.</summary>
    private static bool TellDuring(BrokenStatement broken, ShapeError error)
    {
        if (error.Token >= broken.TokenCount || !error.Expected.Contains(TokenKind.During) || !InActs.Contains(broken.TextOf(error.Token))) return false;
        var end = broken.TextOf(error.Token + 1) == "act" && error.Token + 2 < broken.TokenCount ? error.Token + 2 : error.Token + 1;
        return TellWritten(broken, error, broken.Reading.SpanOf(error.Token, end), "during");
    }

    /// <summary>A name of two words, written with a space.</summary>
    private static bool TellJoined(BrokenStatement broken, ShapeError error)
    {
        for (var second = error.Token; second > Math.Max(0, error.Token - 2); second--)
            if (broken.KindOf(second).CanBeName() && broken.KindOf(second - 1).CanBeName() && JoinedWords.Contains($"{broken.TextOf(second - 1)}_{broken.TextOf(second)}")
                && TellWritten(broken, error, broken.Reading.SpanOf(second - 1, second + 1), $"{broken.TextOf(second - 1)}_{broken.TextOf(second)}")) return true;
        return false;
    }

    /// <summary>A list written as people speak, `a and b`, or as a calculation, `a + b`.</summary>
    private static bool TellAnd(BrokenStatement broken, ShapeError error)
    {
        for (var token = error.Token; token >= Math.Max(2, error.Token - 2); token--)
        {
            if (!IsAnd(broken, token)) continue;
            var changes = ImmutableArray.CreateBuilder<TextChange>();
            for (var other = token; other < broken.TokenCount; other++)
                if (IsAnd(broken, other)) changes.Add(new TextChange(TextSpan.FromTo(broken.Reading.SpanOf(other - 1).End, broken.Reading.SpanOf(other).End), ","));
            if (!broken.IsReadWith([.. changes]))
            {
                if (token != error.Token || !TellCalculation(broken, error)) continue;
                return true;
            }
            var word = broken.TextOf(token);
            // `+` may have been typed for a gain.
            broken.Add(error.Token, new TextProblem(TextFindings.MisspeltWord(word, ","), broken.Reading.SpanOf(token)) { Mends = [new TextMend("write `,`", false, changes.DrainToImmutable())] });
            return true;
        }
        return false;
    }

    private static bool IsAnd(BrokenStatement broken, int token) =>
        broken.KindOf(token) == TokenKind.Plus || (broken.KindOf(token) == TokenKind.Name && broken.Reading.TextOf(token).Equals("and", StringComparison.OrdinalIgnoreCase));

    /// <summary>A mix written as a calculation: <c>feed mix : a + b</c>.</summary>
    private static bool TellCalculation(BrokenStatement broken, ShapeError error)
    {
        var colon = error.Token - 1;
        while (colon > 0 && broken.KindOf(colon) != TokenKind.Colon) colon--;
        var end = error.Token;
        while (end < broken.TokenCount && broken.KindOf(end) is not (TokenKind.Arrow or TokenKind.OpenBrace or TokenKind.During)) end++;
        if (broken.Statement.Kind != NodeKind.Feed || colon == 0) return false;
        var reading = broken.Reading;
        var changes = ImmutableArray.CreateBuilder<TextChange>();
        changes.Add(new TextChange(new TextSpan(reading.SpanOf(colon + 1).Start, 0), "sum("));
        for (var token = colon + 2; token < end; token++)
            if (IsAnd(broken, token)) changes.Add(new TextChange(TextSpan.FromTo(reading.SpanOf(token - 1).End, reading.SpanOf(token).End), ","));
        changes.Add(new TextChange(new TextSpan(reading.SpanOf(end - 1).End, 0), ")"));
        if (!broken.IsReadWith([.. changes])) return false;
        var span = reading.SpanOf(colon + 1, end);
        var written = reading.TextOf(span).ToString();
        var mix = TextMend.Apply(broken.Statement.Text.Span[..span.End], [.. changes])[span.Start..];
        broken.Add(error.Token, new TextProblem(TextFindings.MixWithoutSum(BrokenStatement.Quoted(written), BrokenStatement.Quoted(mix)), span)
        {
            Mends = [new TextMend($"write {BrokenStatement.Quoted(mix)}", false, changes.DrainToImmutable())],
        });
        return true;
    }

    /// <summary>A setting whose value follows without `=`: `expansion NetCard(32)`.</summary>
    private static bool TellEqual(BrokenStatement broken, ShapeError error)
    {
        var at = error.Token - 1;
        if (broken.KindOf(error.Token) is not (TokenKind.OpenParen or TokenKind.Dot) || !broken.KindOf(at).CanBeName() || !broken.KindOf(at - 1).CanBeName() || broken.IsFirstOnLine(at)) return false;
        var change = new TextChange(new TextSpan(broken.Reading.SpanOf(at).Start, 0), "= ");
        if (!broken.IsReadWith(change)) return false;
        broken.Add(at, new TextProblem(TextFindings.Missing("=", broken.Quoted(at)), broken.Reading.SpanOf(at)) { Mends = [new TextMend("put `=` in", false, [change])] });
        return true;
    }

    /// <summary>A list that ends in a comma, on a line of braces: the first word of the next line was taken for one more of the list.</summary>
    private static bool TellLastComma(BrokenStatement broken, ShapeError error)
    {
        for (var token = Math.Min(error.Token, broken.TokenCount - 1); token > Math.Max(0, error.Token - 4); token--)
        {
            if (broken.KindOf(token) != TokenKind.Comma || !broken.IsFirstOnLine(token + 1)) continue;
            var span = broken.Reading.SpanOf(token);
            if (!broken.IsReadWith(new TextChange(span, ""))) return false;
            broken.Add(token, new TextProblem(TextFindings.CommaAtEnd(broken.Quoted(token + 1)), span) { Mends = [new TextMend("take `,` out", false, span, "")] });
            return true;
        }
        return false;
    }

    private static bool TellWritten(BrokenStatement broken, ShapeError error, TextSpan span, string meant, bool isSafe = false)
    {
        if (!broken.IsReadWith(new TextChange(span, meant))) return false;
        broken.Add(error.Token, new TextProblem(TextFindings.MisspeltWord(broken.Reading.TextOf(span).Trim().ToString(), meant), span) { Mends = [new TextMend($"write `{meant}`", isSafe, span, meant)] });
        return true;
    }
}
