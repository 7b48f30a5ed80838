using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// A finding of text before its statement's place in the file is known: positions count from the statement's start,
/// so it is kept with the statement while the text around changes.
/// </summary>
internal sealed record TextProblem(FindingMessage Message, TextSpan Span)
{
    /// <summary>Another place of the statement that it concerns, and what a reader should see there.</summary>
    public (TextSpan Span, string Remark)? Related { get; init; }

    /// <summary>Mends, the likeliest first.</summary>
    public ImmutableArray<TextMend> Mends { get; init; } = [];

    /// <summary>Whether nothing tells what the line was to be: several such lines in a row are one finding.</summary>
    public bool IsLooseLine { get; init; }

    /// <summary>What a line that opens no statement was to be, or to be a piece of; <see cref="NodeKind.Statement"/> where nobody knows.</summary>
    public NodeKind Meant { get; init; } = NodeKind.Statement;

    /// <summary>Whether it belongs into the braces of a statement that is not there: what stands below it may well do, too.</summary>
    public bool IsOfBraces { get; init; }

    /// <summary>Whether it is a path without its quotes.</summary>
    public bool IsUnquotedPath { get; init; }

    /// <summary>Whether it goes on with the statement before it.</summary>
    public bool GoesOn { get; init; }

    /// <summary>Whether it is a remark behind other marks than ours, which reaches to the end of its line.</summary>
    public bool IsRemark => !Mends.IsEmpty && (Message.Text.StartsWith(TextFindings.StrayHash.Text, StringComparison.Ordinal) || Message == TextFindings.StrayDashes);

    /// <summary>The finding in a file.</summary>
    /// <param name="source">The file.</param>
    /// <param name="start">Where the statement starts in it.</param>
    public Finding In(SourceText source, int start) => new(Message.Kind, Message.Text, new Place(source, Span.Moved(start)))
    {
        Related = Related is { } related ? [new Place(source, related.Span.Moved(start), related.Remark)] : [],
        Fixes = [.. Mends.Select(m => m.In(source, start))],
    };
}

/// <summary>A mend before its statement's place is known.</summary>
internal sealed record TextMend(string Title, bool IsSafe, ImmutableArray<TextChange> Changes)
{
    public TextMend(string title, bool isSafe, TextSpan span, string newText) : this(title, isSafe, [new TextChange(span, newText)])
    {
    }

    public Fix In(SourceText source, int start) =>
        new(Title, IsSafe, [.. Changes.Select(c => new TextEdit(source, c.Span.Moved(start), c.NewText))]);

    /// <summary>The text with changes made that stand in its order.</summary>
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
