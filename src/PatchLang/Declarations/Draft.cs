using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A span in a statement, counted from the statement's start: it stays valid while the text around the statement changes.</summary>
public readonly record struct Anchor(Statement Statement, TextSpan Span);

/// <summary>
/// A finding positioned relative to its statement, so that it can be cached across compilations. It is placed in the file at the very end.
/// </summary>
internal sealed record Draft(FindingMessage Message, Anchor At)
{
    public ImmutableArray<(Anchor At, string Remark)> Related { get; init; } = [];

    public ImmutableArray<FixDraft> Fixes { get; init; } = [];

    public Severity? Severity { get; init; }

    /// <summary>The acts it was found in; none if acts don't matter.</summary>
    public ActSet Acts { get; init; }

    /// <summary>Keys that identify the underlying mistake: findings of the same kind that share one are merged into one finding.</summary>
    public ImmutableArray<string> Causes { get; init; } = [];

    /// <summary>The place that all findings of one mistake share, if any: it is reported there.</summary>
    public Anchor? Shared { get; init; }

    /// <summary>
    /// A key for findings of one kind that say the same in different words: if there are more than a few, they are merged. Null if the
    /// sentence itself is the key.
    /// </summary>
    public string? About { get; init; }

    /// <summary>Keys of what this finding explains: findings that have one of them in <see cref="FollowsFrom"/> are left out.</summary>
    public ImmutableArray<string> Explains { get; init; } = [];

    /// <summary>Keys of possible causes: this finding is left out if another one has one of them in <see cref="Explains"/>.</summary>
    public ImmutableArray<string> FollowsFrom { get; init; } = [];

    /// <summary>
    /// Whether it is preferred when findings are merged, wherever it is in the
    /// plan: fewer things could be meant there, so it is the more precise.
    /// </summary>
    public bool IsNarrowest { get; init; }

    /// <summary>The library file that declares what is missing, if one does.</summary>
    public string? HeldBy { get; init; }

    /// <summary>For a finding about ports on no network, the ports.</summary>
    public UnjoinedPorts? Unjoined { get; init; }

    /// <summary>For a finding about cables that are missing, where they would go.</summary>
    public MissingRow? Missing { get; init; }

    /// <summary>For the last of very many like findings that is kept: how many there are.</summary>
    public Repeats? Repeats { get; init; }
}

/// <summary>Counts like findings about one thing. Up to a limit each is kept, beyond it only their number, as they will be merged anyway.</summary>
internal sealed class Repeats
{
    public const int MostKept = 1_000;

    public int Count { get; set; }

    /// <summary>How many were not kept.</summary>
    public int Beyond => Math.Max(0, Count - MostKept);
}

/// <summary>A fix positioned relative to its statements.</summary>
internal sealed record FixDraft(string Title, bool IsSafe, ImmutableArray<EditDraft> Edits)
{
    public FixDraft(string title, bool isSafe, Anchor at, string newText) : this(title, isSafe, [new EditDraft(at, newText)])
    {
    }
}

/// <summary>A text change positioned relative to its statement.</summary>
internal readonly record struct EditDraft(Anchor At, string NewText);

/// <summary>Collects the findings of a stage.</summary>
internal sealed class DraftBag
{
    private List<Draft>? drafts;
    private Dictionary<object, Repeats>? repeats;

    public DraftBag()
    {
    }

    /// <param name="said">Earlier findings to start with; null for none.</param>
    public DraftBag(IReadOnlyList<Draft>? said) => drafts = said is null ? null : [.. said];

    public IReadOnlyList<Draft> Drafts => drafts ?? (IReadOnlyList<Draft>)[];

    public bool IsEmpty => drafts is null;

    public void Add(Draft draft) => (drafts ??= []).Add(draft);

    /// <summary>Puts one finding in place of all from a number on.</summary>
    public void ReplaceFrom(int number, Draft draft)
    {
        drafts!.RemoveRange(number, drafts.Count - number);
        drafts.Add(draft);
    }

    /// <summary>How many like findings about a thing there are so far.</summary>
    public Repeats RepeatsOf(object thing)
    {
        repeats ??= new Dictionary<object, Repeats>(ReferenceEqualityComparer.Instance);
        if (!repeats.TryGetValue(thing, out var known)) repeats.Add(thing, known = new Repeats());
        return known;
    }

    public void Add(FindingMessage message, Anchor at) => Add(new Draft(message, at));

    public void Add(FindingMessage message, Anchor at, Anchor related, string remark) =>
        Add(new Draft(message, at) { Related = [(related, remark)] });
}

internal static class Anchors
{
    /// <summary>The anchor of a node.</summary>
    public static Anchor Anchor(this SyntaxNode node) => new(node.Reading.Statement, node.Span);

    /// <summary>The anchor of a token.</summary>
    public static Anchor AnchorOf(this StatementReading reading, int token) => new(reading.Statement, reading.SpanOf(token));

    /// <summary>The empty span after a statement's last token, where text can be appended.</summary>
    public static Anchor EndOf(Statement statement)
    {
        using var reading = statement.Read();
        return new Anchor(statement, new TextSpan(reading.SpanOf(reading.TokenCount).Start, 0));
    }

    /// <summary>An anchor extended by the spaces before it, so that deleting it leaves no gap.</summary>
    public static Anchor WithBlanksBefore(Anchor anchor)
    {
        var text = anchor.Statement.Text.Span;
        var start = anchor.Span.Start;
        while (start > 0 && text[start - 1] is ' ' or '\t') start--;
        return anchor with { Span = new TextSpan(start, anchor.Span.End - start) };
    }

    /// <summary>
    /// A statement with its line break and indentation but without the comments before it, so that deleting it leaves no empty line.
    /// </summary>
    public static Anchor WholeOf(Statement statement)
    {
        var text = statement.Text.Span;
        var start = OpenerOf(statement).Span.Start;
        while (start > 0 && text[start - 1] is ' ' or '\t') start--;
        if (start > 0 && text[start - 1] == '\n') start--;
        if (start > 0 && text[start - 1] == '\r') start--;
        return new Anchor(statement, TextSpan.FromTo(start, EndOf(statement).Span.Start));
    }

    /// <summary>The anchor of a statement's opening word.</summary>
    public static Anchor OpenerOf(Statement statement)
    {
        using var reading = statement.Read();
        return new Anchor(statement, reading.SpanOf(0));
    }
}
