using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>What belongs into the brackets that are being filled in.</summary>
/// <param name="Label">The complete form.</param>
/// <param name="Parameters">Its parameters, each a substring of the label.</param>
/// <param name="Active">The index of the parameter being written.</param>
/// <param name="Remark">An explanation; null if there is none.</param>
public sealed record Signature(string Label, ImmutableArray<string> Parameters, int Active, string? Remark)
{
    /// <summary>The signature for the innermost brackets at a position; null if there are none, or of no known kind.</summary>
    public static Signature? At(PlanQueries queries, SyntaxTree tree, int offset)
    {
        var index = tree.IndexAt(Math.Max(0, offset - 1));
        if (index < 0) return null;
        var start = tree.StartOf(index);
        using var reading = tree[index].Read();
        var open = -1;
        var commas = 0;
        var closed = 0;
        for (var token = reading.TokenCount - 1; token >= 0 && open < 0; token--)
        {
            if (reading.SpanOf(token).End + start > offset) continue;
            var kind = reading.KindOf(token);
            if (kind.IsCloser()) closed++;
            else if (kind is TokenKind.OpenParen or TokenKind.OpenBracket or TokenKind.OpenBrace)
            {
                if (closed == 0) open = token;
                else closed--;
            }
            else if (kind == TokenKind.Comma && closed == 0) commas++;
        }
        if (open < 1) return null;
        return reading.KindOf(open) switch
        {
            TokenKind.OpenParen => InParentheses(queries, tree, reading, open, commas),
            TokenKind.OpenBracket => InIndex(queries, tree, reading.SpanOf(open - 1).Moved(start), reading.KindOf(open - 1)),
            _ => null,
        };
    }

    private static Signature? InParentheses(PlanQueries queries, SyntaxTree tree, StatementReading reading, int open, int commas)
    {
        switch (reading.KindOf(open - 1))
        {
            case TokenKind.Sum:
                return new Signature("sum(member tap gain, …)", ["member tap gain", "…"], Math.Min(commas, 1), "A member is a feed, a bundle or a socket; its tap `before fader`, `after fader` or `before all`; its gain such as `-6 dB`. A gain that is not written is set by ear, and unknown.");
            case TokenKind.Either:
                return new Signature("either(one, other, …)", ["one", "other", "…"], Math.Min(commas, 2), "One of them at a time: playback and its backup, main and spare microphone.");
        }
        var name = NormalForm.Compose(reading.TextOf(open - 1));
        var gear = queries.Plan.Foundation.HomeOf(queries.FileOf(tree)) is var scope && open >= 3 && reading.KindOf(open - 2) == TokenKind.Dot && scope.Through(reading.TextOf(open - 3).ToString()) is { } through
            ? through.Gear.Find(name)?.First as GearSymbol
            : scope.Gear.Find(name)?.First as GearSymbol;
        if (gear is null || gear.Parameters.IsEmpty) return null;
        ImmutableArray<string> counts = [.. gear.Parameters.Select(p => p.Default is { } number ? $"{p.Name} = {number}" : p.Name)];
        return new Signature($"{gear.Name}({string.Join(", ", counts)})", counts, Math.Min(commas, counts.Length - 1), gear.Title);
    }

    private static Signature? InIndex(PlanQueries queries, SyntaxTree tree, TextSpan name, TokenKind before)
    {
        if (!before.CanBeName() || queries.At(tree, name.Start) is not { } at) return null;
        var description = Description.Of(queries, at with { Channels = default });
        var elements = at.Subject is SymbolSubject { Symbols: [var symbol, ..] } ? (symbol as FeedSymbol)?.Elements ?? (symbol as UnitSymbol)?.Elements : null;
        if (at.Subject is not PartSubject && elements is not { IsIndexed: true }) return null;
        return new Signature(
            elements is { } several ? $"{at.Subject.Name}[{several.Words}]" : $"{at.Subject.Name}[first..last, …]",
            elements is { } all ? [all.Words] : ["first..last", "…"], 0, string.Join("; ", description.Facts.Take(3)));
    }
}
