using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Reserved words that were meant as names. One that opens statements has cut its statement in two, so the two
/// halves are looked at together: the first ends where a name is wanted, and the second makes no sense.
/// </summary>
internal static class ReservedNames
{
    /// <summary>Whether a statement is the rest of the one before it, and its opening word was meant as a name there.</summary>
    public static bool IsContinuation(Statement? previous, Statement statement)
    {
        if (previous is null || !statement.Shape.Tokens.AsSpan().StartsWithOpener()) return false;
        var wantsName = WantsNameAtEnd(previous.Shape);
        if (!wantsName && !IsInUnquoted(previous)) return false;
        // A title or a path behind a statement that wants a name, on its line: nobody writes two statements like that.
        var isNonsense = statement.Shape.Errors is [{ Token: <= 2 }, ..] || statement.Shape.Kind is NodeKind.Rig or NodeKind.Use;
        if (!isNonsense) return false;
        using var reading = previous.Read();
        var isSameLine = !previous.Text.Span[reading.SpanOf(reading.TokenCount).Start..].ContainsAny('\r', '\n');
        if (isSameLine) return true;
        if (!wantsName || statement.Shape.IsRead) return false;
        var isInBraces = Repairs.OpenBefore(previous.Shape.Tokens.AsSpan(), previous.Shape.Tokens.Length).Count > 0;
        return isInBraces ? ClosesMoreThanItOpens(statement.Shape) : statement.Shape.Errors[0].Token == 1 && GoesOnWithName(statement.Shape);
    }

    /// <summary>Whether a statement is a piece of a path or a title that lacks its quotes, and is told with the rest of it.</summary>
    public static bool IsInUnquoted(Statement? previous) =>
        previous is { Kind: NodeKind.Use or NodeKind.Rig, Shape.Errors: [{ Token: 1, Expected: [TokenKind.String] }, ..] };

    /// <summary>Tells that the word which opens the statement was meant as a name.</summary>
    public static void TellOpener(BrokenStatement broken) => TellWord(broken, 0);

    /// <summary>Tells of an error that comes from a reserved word; false if it does not.</summary>
    public static bool Tell(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        // The next statement tells it.
        if (error.Token == broken.TokenCount && broken.Next is { } next && IsContinuation(broken.Statement, next)) return true;
        var kind = broken.KindOf(error.Token);
        if (!kind.IsReserved() || !error.Expected.Contains(TokenKind.Name)) return false;
        TellWord(broken, error.Token);
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
        var isRateOfUnit = token == 0 && broken is { Previous.Kind: NodeKind.Unit, Statement.Kind: NodeKind.Rate } && broken.KindOf(1) == TokenKind.Equal;
        broken.Add(token, new TextProblem(isRateOfUnit ? TextFindings.RateAsSetting : TextFindings.Reserved(word, broken.KindOf(token).IsOpener()), span)
        {
            // Other places may have to follow, so this is never done unasked.
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

    // What can stand behind a name and never behind an opening word, whatever was forgotten there.
    private static bool GoesOnWithName(Shape shape) =>
        shape.Tokens is [_, TokenKind.Comma or TokenKind.Dot or TokenKind.Arrow or TokenKind.OpenBracket or TokenKind.CloseParen, ..];
}
