using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>Lines that begin with a name where a statement's opening word is expected.</summary>
internal static class UnreadableLines
{
    private static readonly ImmutableArray<TokenKind> Openers =
        [.. Enumerable.Range((int)TokenKind.Rig, TokenKind.Allow - TokenKind.Rig + 1).Select(k => (TokenKind)k)];

    // Statements so frequent that people forget their opening word.
    private static readonly ImmutableArray<TokenKind> OftenDropped =
        [TokenKind.Gear, TokenKind.Unit, TokenKind.Network, TokenKind.Loom, TokenKind.Cable, TokenKind.Feed, TokenKind.Bundle, TokenKind.Timekeeper, TokenKind.Follow];

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
        if (OtherSpellings.TellDashes(broken, 0)) return;
        var first = broken.KindOf(0);
        if (!first.CanBeName() && first is not (TokenKind.Number or TokenKind.String))
        {
            broken.Add(0, TextFindings.NoOpener(broken.Quoted(0)));
            return;
        }
        if (UsesOfOtherLanguages.Tell(broken) || TellSynonym(broken) || UnexpectedText.TellLineOfBracesAt(broken, 0) || TellMisspelt(broken) || TellRunOn(broken) || TellFollows(broken) || TellWay(broken) || TellGoesOn(broken) || TellDropped(broken)) return;
        var at = broken.Reading.SpanOf(0);
        broken.Add(0, new TextProblem(TextFindings.LooseLine(broken.Quoted(0)), at)
        {
            IsLooseLine = true,
            Mends = [new TextMend("make it a remark", false, CommentMarks(broken))],
        });
    }

    /// <summary>Another word for what a statement does: <c>leader desk</c>.</summary>
    private static bool TellSynonym(BrokenStatement broken)
    {
        var opener = broken.TextOf(0).ToLowerInvariant() switch
        {
            "master" or "leader" or "clock" => TokenKind.Timekeeper,
            "assert" or "ensure" => TokenKind.Expect,
            "device" => TokenKind.Unit,
            "wire" => TokenKind.Cable,
            _ => TokenKind.None,
        };
        if (opener == TokenKind.None || ParseWith(broken.Shape, opener, 1) is not { IsRead: true } shape) return false;
        var (span, meant) = (broken.Reading.SpanOf(0), Spelling.Of(opener));
        broken.Add(0, new TextProblem(TextFindings.MisspeltOpener(broken.TextOf(0), meant), span)
        {
            Mends = [new TextMend($"write `{meant}`", false, span, meant)],
            Meant = shape.Kind,
        });
        return true;
    }

    private static bool TellMisspelt(BrokenStatement broken)
    {
        var word = broken.TextOf(0);
        // Several opening words may be equally near: the tokens after it decide.
        if (Nearest.To(word, Openers.Where(Fits).Select(Spelling.Of)) is not { } opener || ParseWith(broken.Shape, Words.KindOf(opener), 1) is not { } shape) return false;
        var span = broken.Reading.SpanOf(0);
        broken.Add(0, new TextProblem(TextFindings.MisspeltOpener(word, opener), span)
        {
            Mends = [new TextMend($"write `{opener}`", shape.IsRead, span, opener)],
            Meant = shape.Kind,
        });
        OpenTexts.TellTexts(broken);
        StrayCharacters.Tell(broken);
        return true;

        // In a comment some word may be near to an opening word by chance, but then the tokens after it do not fit.
        bool Fits(TokenKind kind) =>
            Nearest.To(word, [Spelling.Of(kind)]) is not null && ParseWith(broken.Shape, kind, 1) is { } fitting
            && (fitting.Errors is not [{ Token: <= 2 }, ..] || HasStrayBefore(broken, 3));
    }

    private static bool HasStrayBefore(BrokenStatement broken, int end)
    {
        for (var token = 1; token < Math.Min(end, broken.TokenCount); token++)
            if (broken.KindOf(token) is TokenKind.Stray or TokenKind.OpenString) return true;
        return false;
    }

    /// <summary>An opening word run together with the name after it, as in <c>feedlead : …</c>.</summary>
    private static bool TellRunOn(BrokenStatement broken)
    {
        var word = broken.TextOf(0);
        foreach (var kind in Openers)
        {
            var opener = Spelling.Of(kind);
            if (word.Length <= opener.Length || !word.StartsWith(opener, StringComparison.Ordinal) || !char.IsLetter(word[opener.Length])
                || broken.TokenCount > Repairs.MostTokens || !Repairs.Parse([kind, TokenKind.Name, .. broken.Shape.Tokens.AsSpan()[1..]]).IsRead) continue;
            var meant = $"{opener} {word[opener.Length..]}";
            var span = broken.Reading.SpanOf(0);
            broken.Add(0, new TextProblem(TextFindings.MisspeltOpener(word, meant), span)
            {
                Mends = [new TextMend($"write `{meant}`", false, span, meant)],
                Meant = Repairs.Parse([kind, TokenKind.Name, .. broken.Shape.Tokens.AsSpan()[1..]]).Kind,
            });
            return true;
        }
        return false;
    }

    /// <summary>A clock source written as a sentence: <c>rack follows net</c>.</summary>
    private static bool TellFollows(BrokenStatement broken)
    {
        var verb = 1;
        while (verb < broken.TokenCount && broken.TextOf(verb) != "follows") verb++;
        if (verb >= broken.TokenCount - 1 || broken.TokenCount > Repairs.MostTokens) return false;
        var tokens = broken.Shape.Tokens.AsSpan();
        var source = broken.KindOf(verb + 1) == TokenKind.From ? verb + 2 : verb + 1;
        if (!Repairs.Parse([TokenKind.Follow, .. tokens[..verb], TokenKind.From, .. tokens[source..]]).IsRead) return false;
        var reading = broken.Reading;
        var first = reading.TextOf(reading.SpanOf(0, verb)).ToString();
        var meant = $"follow {first} from {reading.TextOf(reading.SpanOf(source, broken.TokenCount))}";
        broken.Add(0, new TextProblem(TextFindings.MisspeltOpener(first, meant), reading.SpanOf(0))
        {
            Mends = [new TextMend($"write `{meant}`", false, reading.SpanOf(0, broken.TokenCount), meant)],
            Meant = NodeKind.Follow,
        });
        return true;
    }

    /// <summary>The hops of a feed without `feed` and a name.</summary>
    private static bool TellWay(BrokenStatement broken)
    {
        var tokens = broken.Shape.Tokens.AsSpan();
        if (tokens.Length > Repairs.MostTokens || !tokens.Contains(TokenKind.Arrow) || !tokens[..tokens.IndexOf(TokenKind.Arrow)].Contains(TokenKind.Dot)) return false;
        // After a feed that has only its first point, the line continues that feed.
        if (broken.Previous is { Kind: NodeKind.Feed, Shape: { IsRead: true } above } && !above.Tokens.Contains(TokenKind.Arrow)) return false;
        if (!Repairs.Parse([TokenKind.Feed, TokenKind.Name, TokenKind.Colon, .. tokens]).IsRead) return false;
        var name = new System.Text.StringBuilder();
        for (var token = 0; broken.KindOf(token) != TokenKind.Arrow; token++)
            if (broken.KindOf(token).CanBeName() || broken.KindOf(token) == TokenKind.Number) name.Append(name.Length > 0 ? "_" : "").Append(broken.TextOf(token));
        var span = broken.Reading.SpanOf(0);
        broken.Add(0, new TextProblem(TextFindings.OpenerMissing(broken.Quoted(0), ["feed NAME :"]), span)
        {
            Mends = [new TextMend($"put `feed {name} :` before it", false, new TextSpan(span.Start, 0), $"feed {name} : ")],
            Meant = NodeKind.Feed,
        });
        return true;
    }

    /// <summary>A continuation of the statement above, if that had ended in a comma or an arrow.</summary>
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
                Meant = previous.Kind,
                GoesOn = true,
            });
            return true;
        }
        return false;
    }

    private static bool TellDropped(BrokenStatement broken)
    {
        if (broken.TokenCount > Repairs.MostTokens) return false;
        var hasArrow = broken.Shape.Tokens.Contains(TokenKind.Arrow);
        // Each of these statements contains at least one of these signs.
        if (!hasArrow && !broken.Shape.Tokens.Contains(TokenKind.Colon) && !broken.Shape.Tokens.Contains(TokenKind.OpenBrace) && !broken.Shape.Tokens.Contains(TokenKind.From)) return false;
        var fitting = OftenDropped.Where(k => (k == TokenKind.Feed || k != TokenKind.Unit || !hasArrow) && ParseWith(broken.Shape, k, 0) is { IsRead: true }).ToList();
        if (fitting.Count is not (1 or 2)) return false;
        var span = broken.Reading.SpanOf(0);
        broken.Add(0, new TextProblem(TextFindings.OpenerMissing(broken.Quoted(0), [.. fitting.Select(Spelling.Of)]), span)
        {
            Mends = [.. fitting.Select(Spelling.Of).Select(word => new TextMend($"put `{word}` before it", false, new TextSpan(span.Start, 0), word + " "))],
            Meant = Repairs.Parse([fitting[0], .. broken.Shape.Tokens]).Kind,
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
