using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>Lines that begin with a name where a statement's opening word should stand.</summary>
internal static class UnreadableLines
{
    private static readonly ImmutableArray<TokenKind> Openers =
        [.. Enumerable.Range((int)TokenKind.Rig, TokenKind.Allow - TokenKind.Rig + 1).Select(k => (TokenKind)k)];

    private static readonly ImmutableArray<string> OpenerWords = [.. Openers.Select(Spelling.Of)];

    // Statements that people write so many of that they drop the opening word.
    private static readonly ImmutableArray<TokenKind> OftenDropped =
        [TokenKind.Gear, TokenKind.Unit, TokenKind.Network, TokenKind.Loom, TokenKind.Cable, TokenKind.Feed, TokenKind.Bundle];

    public static void Tell(BrokenStatement broken)
    {
        switch (broken.KindOf(0))
        {
            case TokenKind.OpenBlock:
                return;
            case TokenKind.Stray:
                StrayCharacters.Tell(broken);
                return;
            case TokenKind.OpenString:
                OpenTexts.TellTexts(broken);
                return;
        }
        var first = broken.KindOf(0);
        if (!first.CanBeName() && first is not (TokenKind.Number or TokenKind.String))
        {
            broken.Add(0, TextFindings.NoOpener(broken.Quoted(0)));
            return;
        }
        if (UnexpectedText.TellLineOfBracesAt(broken, 0) || TellMisspelt(broken) || TellGoesOn(broken) || TellDropped(broken)) return;
        var at = broken.Reading.SpanOf(0);
        broken.Add(0, new TextProblem(TextFindings.LooseLine(broken.Quoted(0)), at)
        {
            IsLooseLine = true,
            Mends = [new TextMend("make it a remark", false, CommentMarks(broken))],
        });
    }

    private static bool TellMisspelt(BrokenStatement broken)
    {
        var word = broken.TextOf(0);
        if (Nearest.To(word, OpenerWords) is not { } opener) return false;
        var shape = ParseWith(broken.Shape, Words.KindOf(opener), 1);
        // In a remark any word may be near to one of ours, and then nothing fits from the start.
        if (shape is null || (shape.Errors is [{ Token: <= 2 }, ..] && !HasStrayBefore(broken, 3))) return false;
        var span = broken.Reading.SpanOf(0);
        broken.Add(0, new TextProblem(TextFindings.MisspeltOpener(word, opener), span)
        {
            Mends = [new TextMend($"write `{opener}`", shape.IsRead, span, opener)],
        });
        OpenTexts.TellTexts(broken);
        StrayCharacters.Tell(broken);
        return true;
    }

    private static bool HasStrayBefore(BrokenStatement broken, int end)
    {
        for (var token = 1; token < Math.Min(end, broken.TokenCount); token++)
            if (broken.KindOf(token) is TokenKind.Stray or TokenKind.OpenString) return true;
        return false;
    }

    /// <summary>The statement above could go on with this line, if it ended in a comma or an arrow.</summary>
    private static bool TellGoesOn(BrokenStatement broken)
    {
        if (broken.Previous is not { Shape.IsRead: true } previous || previous.Shape.Tokens.Length + broken.TokenCount > Repairs.MostTokens) return false;
        foreach (var sign in (ReadOnlySpan<TokenKind>)[TokenKind.Comma, TokenKind.Arrow])
        {
            if (!Repairs.Parse([.. previous.Shape.Tokens, sign, .. broken.Shape.Tokens]).IsRead) continue;
            var span = broken.Reading.SpanOf(0);
            var text = Spelling.Of(sign);
            broken.Add(0, new TextProblem(TextFindings.LineGoesOn(broken.Quoted(0), Expectations.StatementName(previous.Kind), text), span)
            {
                Mends = [new TextMend($"put `{text}` before it", false, new TextSpan(span.Start, 0), text + " ")],
            });
            return true;
        }
        return false;
    }

    private static bool TellDropped(BrokenStatement broken)
    {
        if (broken.TokenCount > Repairs.MostTokens) return false;
        var hasArrow = broken.Shape.Tokens.Contains(TokenKind.Arrow);
        // Each of them has one of these.
        if (!hasArrow && !broken.Shape.Tokens.Contains(TokenKind.Colon) && !broken.Shape.Tokens.Contains(TokenKind.OpenBrace)) return false;
        var fitting = OftenDropped.Where(k => (k == TokenKind.Feed || k != TokenKind.Unit || !hasArrow) && ParseWith(broken.Shape, k, 0) is { IsRead: true }).ToList();
        if (fitting is not [var opener]) return false;
        var span = broken.Reading.SpanOf(0);
        var word = Spelling.Of(opener);
        broken.Add(0, new TextProblem(TextFindings.OpenerMissing(broken.Quoted(0), word), span)
        {
            Mends = [new TextMend($"put `{word}` before it", false, new TextSpan(span.Start, 0), word + " ")],
        });
        return true;
    }

    private static Shape? ParseWith(Shape line, TokenKind opener, int from) =>
        line.Tokens.Length > Repairs.MostTokens ? null : Repairs.Parse([opener, .. line.Tokens.AsSpan()[from..]]);

    private static ImmutableArray<TextChange> CommentMarks(BrokenStatement broken)
    {
        var changes = ImmutableArray.CreateBuilder<TextChange>();
        for (var token = 0; token < broken.TokenCount; token++)
            if (broken.IsFirstOnLine(token)) changes.Add(new TextChange(new TextSpan(broken.Reading.SpanOf(token).Start, 0), "// "));
        return changes.DrainToImmutable();
    }
}
