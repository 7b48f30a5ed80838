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
    /// <summary>Whether an <c>allow</c> may cover it. Findings of text and names can't be allowed, nor those of a rule's own text.</summary>
    public bool CanBeAllowed => !Code.StartsWith("PL01", StringComparison.Ordinal) && !Code.StartsWith("PL02", StringComparison.Ordinal) && Code is not ("PL1204" or "PL1205");

    /// <summary>Whether what is found there could be left out, so that an editor may show it faded.</summary>
    public bool IsAboutUnused { get; init; }

    /// <summary>What has to be known of the things that it speaks of, for it to be told.</summary>
    internal Grounds HangsOn { get; init; }

    /// <summary>Whether it speaks of all that its statement names, besides what its sentence does.</summary>
    internal bool IsOfWholeStatement { get; init; }

    /// <summary>What nobody knows, where this is found, of the things that the statement names: it could be read, and was not understood.</summary>
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
    /// <summary>The remark at a related place where the same would have to be said.</summary>
    internal const string AndHere = "and here";

    /// <summary>How much it matters.</summary>
    public Severity Severity { get; init; } = Kind.Severity;

    /// <summary>Other places that the finding concerns, each with a remark.</summary>
    public ImmutableArray<Place> Related { get; init; } = [];

    /// <summary>Mends, the likeliest first.</summary>
    public ImmutableArray<Fix> Fixes { get; init; } = [];

    /// <summary>The first place in a stretch of a file at which the mistake shows: its own, or a related one where the same would have to be said.</summary>
    public Place? PlaceIn(SourceText source, TextSpan within) =>
        Related.Where(r => r.Remark == AndHere).Prepend(Place).FirstOrDefault(p => p.Source == source && p.Span.Start <= within.End && within.Start <= p.Span.End);

    /// <summary>The finding's code.</summary>
    public string Code => Kind.Code;
}

/// <summary>A catalogue entry with its sentence filled in: what a check says before it is known where.</summary>
public readonly record struct FindingMessage(FindingKind Kind, string Text)
{
    /// <summary>The things that the sentence speaks of, called as in the plan: <c>lead</c>, <c>desk.ch[5]</c>. Given where <see cref="HangsOn"/> is something.</summary>
    internal ImmutableArray<string> Of { get; init; } = [];

    /// <summary>What has to be known of those for it to be told: what its kind hangs on, where the sentence does not say otherwise.</summary>
    internal Grounds HangsOn { get; init; } = Kind.HangsOn;

    /// <summary>Whether both say the same: what it speaks of, and hangs on, goes with that.</summary>
    public bool Equals(FindingMessage other) => Kind == other.Kind && Text == other.Text;

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Kind, Text);
}
