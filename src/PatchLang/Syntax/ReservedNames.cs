using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Reserved words used as names. An opening word used as a name cuts its statement in two, so both halves are looked at together:
/// the first ends where a name is expected, and the second makes no sense by itself.
/// </summary>
internal static class ReservedNames
{
    /// <summary>Whether a statement is really the rest of the previous one, its opening word being meant as a name.</summary>
    public static bool IsContinuation(Statement? previous, Statement statement)
    {
        if (previous is null || !statement.Shape.Tokens.AsSpan().StartsWithOpener()) return false;
        var wantsName = WantsNameAtEnd(previous.Shape);
        if (!wantsName && !IsInUnquoted(previous)) return false;
        // A `rig` or `use` on the same line as a statement that lacks a name: nobody puts two statements on a line like that.
        var isNonsense = statement.Shape.Errors is [{ Token: <= 2 }, ..] || statement.Shape.Kind is NodeKind.Rig or NodeKind.Use;
        if (!isNonsense) return false;
        using var reading = previous.Read();
        var isSameLine = !previous.Text.Span[reading.SpanOf(reading.TokenCount).Start..].ContainsAny('\r', '\n');
        if (isSameLine) return true;
        if (!wantsName || statement.Shape.IsRead) return false;
        var isInBraces = Repairs.OpenBefore(previous.Shape.Tokens.AsSpan(), previous.Shape.Tokens.Length).Count > 0;
        return isInBraces ? ClosesMoreThanItOpens(statement.Shape) : statement.Shape.Errors[0].Token == 1 && GoesOnWithName(statement.Shape);
    }

    /// <summary>Whether the previous statement is a path or title without quotes, which is reported together with this piece of it.</summary>
    public static bool IsInUnquoted(Statement? previous) =>
        previous is { Kind: NodeKind.Use or NodeKind.Rig, Shape.Errors: [{ Token: 1, Expected: [TokenKind.String] }, ..] };

    /// <summary>Reports that the opening word of the statement was meant as a name.</summary>
    public static void TellOpener(BrokenStatement broken) => TellWord(broken, 0);

    /// <summary>Reports an error that a reserved word caused; false if none did.</summary>
    public static bool Tell(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        // It is reported with the next statement, unless that is taken for a piece of a path or title which this one lacks altogether.
        if (error.Token == broken.TokenCount && broken.Next is { } next && !IsInUnquoted(broken.Statement) && IsContinuation(broken.Statement, next)) return true;
        var kind = broken.KindOf(error.Token);
        if (!kind.IsReserved() || !error.Expected.Contains(TokenKind.Name)) return false;
        if (kind != TokenKind.During || !TellActsInBraces(broken, error.Token)) TellWord(broken, error.Token);
        return true;
    }

    /// <summary>Reports acts inside the braces if the statement can be read with them behind; false if it can't.</summary>
    private static bool TellActsInBraces(BrokenStatement broken, int token)
    {
        if (Repairs.OpenBefore(broken.Shape.Tokens.AsSpan(), token).Count == 0) return false;
        var last = token;
        if (broken.KindOf(token + 1) == TokenKind.Any) last += 2; // `any except`
        last++;
        while (broken.KindOf(last + 1) == TokenKind.Comma) last += 2;
        if (last >= broken.TokenCount) return false;
        var span = broken.Reading.SpanOf(token).To(broken.Reading.SpanOf(last));
        var during = broken.Reading.TextOf(span).ToString();
        var before = broken.Reading.SpanOf(token - 1).End;
        TextChange[] moved = [new(TextSpan.FromTo(before, span.End), ""), new(new TextSpan(broken.Reading.SpanOf(broken.TokenCount - 1).End, 0), " " + during)];
        if (!broken.IsReadWith(moved)) return false;
        broken.Add(token, new TextProblem(TextFindings.ActsInBraces(during), span) { Mends = [new TextMend("move it behind the brace", false, [.. moved])] });
        return true;
    }

    private static void TellWord(BrokenStatement broken, int token)
    {
        var word = broken.TextOf(token);
        var span = broken.Reading.SpanOf(token);
        if (broken.KindOf(token) is TokenKind.Sum or TokenKind.Either && token + 1 < broken.TokenCount && broken.KindOf(token + 1) == TokenKind.OpenParen)
        {
            broken.Add(token, new TextProblem(TextFindings.OriginInside(word), span));
            return;
        }
        // A source of time is called by the unit's port, and a network port by the library's gear `net`.
        if (token == 0 && broken is { Previous: { Kind: NodeKind.Follow, Shape.Tokens: [.., TokenKind.From] }, Statement.Kind: NodeKind.Network })
        {
            broken.Add(token, new TextProblem(TextFindings.NetworkAsSource, span) { Mends = [new TextMend("write `net`", false, span, "net")] });
            return;
        }
        var isRateOfUnit = token == 0 && broken is { Previous.Kind: NodeKind.Unit, Statement.Kind: NodeKind.Rate } && broken.KindOf(1) == TokenKind.Equal;
        broken.Add(token, new TextProblem(isRateOfUnit ? TextFindings.RateAsSetting : TextFindings.Reserved(word, broken.KindOf(token).IsOpener()), span)
        {
            // Other uses of the name may need the same change, so this is never safe to apply without asking.
            Mends = isRateOfUnit ? [] : [new TextMend($"call it `x_{word}`", false, span, "x_" + word)],
        });
    }

    private static bool WantsNameAtEnd(Shape shape)
    {
        if (shape.IsRead || shape.Tokens.IsEmpty) return false;
        if (shape.Tokens[^1] is TokenKind.Dot or TokenKind.Colon or TokenKind.Arrow or TokenKind.Comma or TokenKind.OpenParen) return true;
        return shape.Errors is [.., var last] && last.Token == shape.Tokens.Length && last.Expected.Contains(TokenKind.Name);
    }

    private static bool StartsWithOpener(this ReadOnlySpan<TokenKind> kinds) => !kinds.IsEmpty && kinds[0].IsOpener();

    private static bool ClosesMoreThanItOpens(Shape shape)
    {
        var depth = 0;
        foreach (var kind in shape.Tokens)
        {
            if (kind == TokenKind.OpenBrace) depth++;
            if (kind == TokenKind.CloseBrace && --depth < 0) return true;
        }
        return false;
    }

    // Tokens that can follow a name but never an opening word, whatever else is missing.
    private static bool GoesOnWithName(Shape shape) =>
        shape.Tokens is [_, TokenKind.Comma or TokenKind.Dot or TokenKind.Arrow or TokenKind.OpenBracket or TokenKind.CloseParen, ..];
}
