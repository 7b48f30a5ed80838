using System.Collections.Immutable;
using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>How much a finding matters. Errors and warnings make a check fail; notes and hints do not.</summary>
public enum Severity
{
    /// <summary>Something to look at; normal practice more often than not.</summary>
    Hint,

    /// <summary>A fact the reader should know.</summary>
    Note,

    /// <summary>It may work, and someone should decide.</summary>
    Warning,

    /// <summary>It will not work as written.</summary>
    Error,
}

/// <summary>One entry of the catalogue: what kind of thing was found.</summary>
/// <param name="Code">The code, such as <c>PL0301</c>.</param>
/// <param name="Severity">How much it matters, unless a finding of this kind says otherwise.</param>
/// <param name="Title">A few words that name the kind, without particulars.</param>
public sealed record FindingKind(string Code, Severity Severity, string Title)
{
    /// <summary>Whether an <c>allow</c> may cover it. Findings of text and names can't be allowed, nor can those about a rule's script.</summary>
    public bool CanBeAllowed => !IsOfTextOrNames && Code is not ("PL1204" or "PL1205");

    /// <summary>
    /// Whether it is about the text itself, or about names and the files that declare them. Where such a finding is an error, the plan means
    /// more than could be compiled: a thing may be missing that the plan has.
    /// </summary>
    public bool IsOfTextOrNames => Code.StartsWith("PL01", StringComparison.Ordinal) || Code.StartsWith("PL02", StringComparison.Ordinal);

    /// <summary>Whether it is about text that could be removed, so that an editor may show it faded.</summary>
    public bool IsAboutUnused { get; init; }

    /// <summary>What must be known of the things it is about. The finding is left out if some of that could not be read.</summary>
    internal Grounds HangsOn { get; init; }

    /// <summary>Whether it is about everything that its statement names, not only about what its sentence names.</summary>
    internal bool IsOfWholeStatement { get; init; }

    /// <summary>What this finding leaves unknown of the things its statement names, as the statement was read but not understood.</summary>
    internal Grounds LeavesUnknown { get; init; }
}

/// <summary>A stretch of a file, and what a reader should see in it.</summary>
public sealed record Place(SourceText Source, TextSpan Span, string? Remark = null);

/// <summary>One change of text in one file.</summary>
public sealed record TextEdit(SourceText Source, TextSpan Span, string NewText);

/// <summary>A mechanical mend of a finding.</summary>
/// <param name="Title">What applying it does, as an order: "make desk.expansion follow its host".</param>
/// <param name="IsSafe">Whether it can be applied unasked: it states what was meant, and nothing else changes.</param>
/// <param name="Edits">The changes, none overlapping another.</param>
public sealed record Fix(string Title, bool IsSafe, ImmutableArray<TextEdit> Edits);

/// <summary>One thing found in a plan.</summary>
/// <param name="Kind">The catalogue entry.</param>
/// <param name="Message">One sentence that states the fact with its numbers and units.</param>
/// <param name="Place">Where it is.</param>
public sealed record Finding(FindingKind Kind, string Message, Place Place)
{
    /// <summary>The remark at a related place that has the same mistake.</summary>
    internal const string AndHere = "and here";

    /// <summary>How much it matters.</summary>
    public Severity Severity { get; init; } = Kind.Severity;

    /// <summary>Other places that the finding concerns, each with a remark.</summary>
    public ImmutableArray<Place> Related { get; init; } = [];

    /// <summary>Mends, the likeliest first.</summary>
    public ImmutableArray<Fix> Fixes { get; init; } = [];

    /// <summary>The first place within a span of a file that has the mistake: the finding's own, or a related one with the same mistake.</summary>
    public Place? PlaceIn(SourceText source, TextSpan within) =>
        Related.Where(r => r.Remark == AndHere).Prepend(Place).FirstOrDefault(p => p.Source == source && p.Span.Start <= within.End && within.Start <= p.Span.End);

    /// <summary>The finding's code.</summary>
    public string Code => Kind.Code;
}

/// <summary>A catalogue entry with its sentence filled in: a finding that does not have its place yet.</summary>
public readonly record struct FindingMessage(FindingKind Kind, string Text)
{
    /// <summary>
    /// The things the sentence is about, named as in the plan: <c>lead</c>, <c>desk.ch[5]</c>. Given if <see cref="HangsOn"/> is not empty.
    /// </summary>
    internal ImmutableArray<string> Of { get; init; } = [];

    /// <summary>What must be known of these things for the finding to be given: that of its kind, unless the sentence states otherwise.</summary>
    internal Grounds HangsOn { get; init; } = Kind.HangsOn;

    /// <summary>Whether kind and text are equal: the other members follow from these.</summary>
    public bool Equals(FindingMessage other) => Kind == other.Kind && Text == other.Text;

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Kind, Text);
}
