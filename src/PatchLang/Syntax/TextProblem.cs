using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// A syntax finding with positions that count from the start of its statement, so that it can be cached with the statement while
/// the text around it changes.
/// </summary>
internal sealed record TextProblem(FindingMessage Message, TextSpan Span)
{
    /// <summary>Another place in the statement that the problem concerns, and what to say there.</summary>
    public (TextSpan Span, string Remark)? Related { get; init; }

    /// <summary>Fixes, the likeliest first.</summary>
    public ImmutableArray<TextMend> Mends { get; init; } = [];

    /// <summary>Whether nothing indicates what the line was meant to be; a run of such lines becomes one finding.</summary>
    public bool IsLooseLine { get; init; }

    /// <summary>The statement that a line without an opening word was meant as, or as part of; <see cref="NodeKind.Statement"/> if unknown.</summary>
    public NodeKind Meant { get; init; } = NodeKind.Statement;

    /// <summary>Whether the line belongs inside the braces of a statement whose start is missing; the lines below may belong there too.</summary>
    public bool IsOfBraces { get; init; }

    /// <summary>Whether it is a path without its quotes.</summary>
    public bool IsUnquotedPath { get; init; }

    /// <summary>Where a line ends of which reserved words are a part, as in a path without its quotes; 0 if it has none.</summary>
    public int Covers { get; init; }

    /// <summary>Whether the line continues the statement before it.</summary>
    public bool GoesOn { get; init; }

    /// <summary>Whether it is a comment to the end of the line that starts with another language's mark.</summary>
    public bool IsRemark => !Mends.IsEmpty && (Message.Text.StartsWith(TextFindings.StrayHash.Text, StringComparison.Ordinal) || Message == TextFindings.StrayDashes);

    /// <summary>The finding, placed in a file.</summary>
    /// <param name="source">The file.</param>
    /// <param name="start">Where the statement starts in the file.</param>
    public Finding In(SourceText source, int start) => new(Message.Kind, Message.Text, new Place(source, Span.Moved(start)))
    {
        Related = Related is { } related ? [new Place(source, related.Span.Moved(start), related.Remark)] : [],
        Fixes = [.. Mends.Select(m => m.In(source, start))],
    };
}

/// <summary>A fix with positions that count from the start of its statement.</summary>
internal sealed record TextMend(string Title, bool IsSafe, ImmutableArray<TextChange> Changes)
{
    public TextMend(string title, bool isSafe, TextSpan span, string newText) : this(title, isSafe, [new TextChange(span, newText)])
    {
    }

    public Fix In(SourceText source, int start) =>
        new(Title, IsSafe, [.. Changes.Select(c => new TextEdit(source, c.Span.Moved(start), c.NewText))]);

    /// <summary>Applies changes, which must be in text order, to a text.</summary>
    public static string Apply(ReadOnlySpan<char> text, ReadOnlySpan<TextChange> changes)
    {
        var mended = new System.Text.StringBuilder(text.Length);
        var at = 0;
        foreach (var change in changes)
        {
            mended.Append(text[at..change.Span.Start]).Append(change.NewText);
            at = change.Span.End;
        }
        return mended.Append(text[at..]).ToString();
    }
}
