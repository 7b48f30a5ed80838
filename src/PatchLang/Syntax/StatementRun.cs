using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// The statements of a text from one place on. A large text is two runs, split at once and joined: where a statement
/// starts does not hang on what stands before it, so from a place where both runs start one, they go on alike.
/// </summary>
internal sealed class StatementRun
{
    // So long is a line of a usual plan; a run counts as one feed for each.
    private const int UsualLine = 80;

    private readonly SourceText source;
    private readonly ShapeCache shapes;
    private Shape? lastShape;
    private int next;

    private StatementRun(SourceText source, ShapeCache shapes, int start, int end)
    {
        this.source = source;
        this.shapes = shapes;
        next = start;
        var usual = (end - start) / UsualLine;
        Statements = new List<Statement>(usual);
        Starts = new List<int>(usual);
    }

    public List<Statement> Statements { get; }

    /// <summary>Where each starts.</summary>
    public List<int> Starts { get; }

    /// <summary>Whether a comment may be open in one of them.</summary>
    public bool HasOpenComment { get; private set; }

    /// <summary>All statements of a text.</summary>
    public static StatementRun Of(SourceText source, ShapeCache shapes)
    {
        var content = source.Content;
        var middle = SideBySide.IsWorthIt(content.Length / UsualLine) ? StartBehind(content, content.Length / 2) : content.Length;
        var head = new StatementRun(source, shapes, 0, middle);
        if (middle == content.Length)
        {
            head.GoOnTo(content.Length);
            return head;
        }
        var tail = new StatementRun(source, shapes, middle, content.Length);
        SideBySide.Do(2, content.Length / UsualLine, run =>
        {
            if (run == 0) head.GoOnTo(middle);
            else tail.GoOnTo(content.Length);
        });
        head.Join(tail);
        return head;
    }

    /// <summary>The next place at the beginning of a line that looks like the start of a statement; the text's end if there is none. In a comment it is none.</summary>
    private static int StartBehind(string content, int at)
    {
        while (content.IndexOf('\n', at) is >= 0 and var line)
        {
            at = line + 1;
            if (Scanner.Next(content, ref at, out var kind, out var start) && kind.IsOpener()) return start;
            at = line + 1;
        }
        return content.Length;
    }

    /// <summary>Splits on, up to the first statement that starts at a place or behind it.</summary>
    private void GoOnTo(int end)
    {
        var content = source.Content;
        var splitter = new Splitter(content, next);
        while (splitter.NextStart < end && splitter.MoveNext())
        {
            HasOpenComment |= splitter.HasOpenComment;
            Starts.Add(splitter.Start);
            var text = content.AsMemory(splitter.Start, splitter.NextStart - splitter.Start);
            // The library is held right by tests, and a plan uses little of it.
            Statements.Add(source.IsLibrary && KindOfGear(splitter.Kinds[0]) is { } kind ? new Statement(text, kind, shapes) : new Statement(text, ShapeOf(splitter.Kinds)));
        }
        next = splitter.NextStart;
    }

    /// <summary>The shape of a statement: often its neighbour's, which need not be looked for.</summary>
    private Shape ShapeOf(ReadOnlySpan<TokenKind> kinds) =>
        lastShape is { } same && !same.Tokens.IsEmpty && kinds.SequenceEqual(same.Tokens.AsSpan()) ? same : lastShape = shapes.ShapeOf(kinds);

    /// <summary>Goes on with another run's statements, from the first place where both start one.</summary>
    private void Join(StatementRun other)
    {
        int from;
        while ((from = other.Starts.BinarySearch(next)) < 0 && next < source.Length) GoOnTo(next + 1);
        HasOpenComment |= other.HasOpenComment;
        if (from < 0) return;
        Starts.AddRange(other.Starts[from..]);
        Statements.AddRange(other.Statements[from..]);
        next = other.next;
    }

    private static NodeKind? KindOfGear(TokenKind opener) => opener switch
    {
        TokenKind.Gear => NodeKind.Gear,
        TokenKind.Card => NodeKind.Card,
        _ => null,
    };
}
