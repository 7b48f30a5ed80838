using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>The result of checking a promise.</summary>
public enum ExpectationState
{
    /// <summary>It holds in every act it applies to.</summary>
    Held,

    /// <summary>It does not hold.</summary>
    Broken,

    /// <summary>Something unknown, or broken elsewhere, decides it.</summary>
    Undecided,
}

/// <summary>A promise as it was checked, in the form that is kept until a host asks for it.</summary>
/// <param name="Statement">The statement.</param>
/// <param name="Expect">What it says; null where it could not be read.</param>
/// <param name="Acts">The acts it was checked in.</param>
/// <param name="Said">The first finding; null for none.</param>
/// <param name="IsUndecided">Whether it is undecided without a finding of its own.</param>
internal sealed record Promise(Statement Statement, ExpectStatement? Expect, ActSet Acts, Draft? Said, bool IsUndecided);

/// <summary>One <c>expect</c> of a plan and its result.</summary>
/// <param name="Text">The promise as the plan writes it, on one line.</param>
/// <param name="State">The result.</param>
/// <param name="Acts">The acts it was checked in; none if it could not be checked.</param>
/// <param name="Place">Where it stands.</param>
public sealed record Expectation(string Text, ExpectationState State, ActSet Acts, Place Place)
{
    /// <summary>
    /// The figure found: seconds, decibels, or a number of channels; of several points and acts, the one closest to breaking the promise.
    /// Null where no figure is promised, or none is known.
    /// </summary>
    public double? Figure { get; private init; }

    /// <summary>The figure with its unit: <c>4.2 ms</c>, <c>11 dB</c>, <c>23 spare</c>; null where there is none.</summary>
    public string? FigureText { get; private init; }

    /// <summary>The finding's code; null where it holds, or is undecided because of something that is reported elsewhere.</summary>
    public string? Code { get; private init; }

    /// <summary>Why it does not hold or is undecided; null where it holds.</summary>
    public string? Says { get; private init; }

    /// <summary>
    /// The reason given in the plan's <c>allow</c>; null where there is none. A broken promise that is allowed is meant to be broken.
    /// </summary>
    public string? AllowedBecause { get; private init; }

    internal static Expectation Of(Plan plan, Promise promise, Func<Anchor, Place> placeOf)
    {
        var (expect, said) = (promise.Expect, promise.Said);
        var state = said is null ? expect is null || promise.IsUndecided ? ExpectationState.Undecided : ExpectationState.Held
            : said.Message.Kind == ExpectationFindings.Broken ? ExpectationState.Broken
            : ExpectationState.Undecided;
        return new Expectation(TextOf(promise.Statement), state, promise.Acts, placeOf(expect?.At(expect.Span) ?? Anchors.OpenerOf(promise.Statement)))
        {
            Figure = expect?.Outcome,
            FigureText = expect?.Outcome is { } figure ? FigureOf(expect.Sort, figure) : null,
            Code = said?.Message.Kind.Code,
            Says = said?.Message.Text ?? (expect is null ? "it could not be read" : promise.IsUndecided ? "something that it hangs on could not be made out" : null),
            AllowedBecause = said is null ? null : plan.Allows.Find(a => ReferenceEquals(a.Next, promise.Statement) && a.Allow.Code == said.Message.Kind.Code).Allow?.Reason,
        };
    }

    private static string FigureOf(ExpectSort sort, double figure) => sort switch
    {
        ExpectSort.Latency => $"{Quantity.Number(figure * 1000)} ms",
        ExpectSort.Headroom => $"{Quantity.Number(Math.Round(figure, 1))} dB",
        _ => $"{Quantity.Number(figure)} spare",
    };

    /// <summary>A statement's own text, without trailing comments, on one line.</summary>
    private static string TextOf(Statement statement)
    {
        using var reading = statement.ReadAsMeant();
        var words = new List<string>();
        var end = -1;
        for (var token = 0; token < reading.TokenCount; token++)
        {
            var span = reading.SpanOf(token);
            var text = reading.TextOf(token).ToString();
            if (words.Count > 0 && span.Start == end) words[^1] += text;
            else words.Add(text);
            end = span.End;
        }
        return string.Join(' ', words);
    }
}
