using System.Runtime.InteropServices;
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

    // From so many statements on it is told from them how many are to come.
    private const int Enough = 256;

    private readonly SourceText source;
    private readonly ShapeCache shapes;
    private readonly List<Statement> statements;
    private readonly List<int> starts;
    private readonly int first;
    private readonly int last;
    private Shape? lastShape;
    private int next;
    private StatementRun? rest;
    private int restFrom;

    private StatementRun(SourceText source, ShapeCache shapes, int start, int end)
    {
        this.source = source;
        this.shapes = shapes;
        (first, last, next) = (start, end, start);
        var usual = Math.Min(Enough, (end - start) / UsualLine);
        statements = new List<Statement>(usual);
        starts = new List<int>(usual);
    }

    /// <summary>The statements.</summary>
    public Statement[] Statements => [.. CollectionsMarshal.AsSpan(statements), .. rest is null ? [] : CollectionsMarshal.AsSpan(rest.statements)[restFrom..]];

    /// <summary>Where each starts.</summary>
    public int[] Starts => [.. CollectionsMarshal.AsSpan(starts), .. rest is null ? [] : CollectionsMarshal.AsSpan(rest.starts)[restFrom..]];

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
        var noCommentEndFrom = int.MaxValue;
        while (content.IndexOf('\n', at) is >= 0 and var line)
        {
            // Goes on behind the token: lines of remarks ahead of it were looked through, and are not once more for each of them.
            at = line + 1;
            if (Scanner.Next(content, ref at, out var kind, out var start, ref noCommentEndFrom) && kind.IsOpener()) return start;
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
            if (statements.Count == statements.Capacity) MakeRoom(splitter.Start);
            starts.Add(splitter.Start);
            var text = content.AsMemory(splitter.Start, splitter.NextStart - splitter.Start);
            // The library is held right by tests, and a plan uses little of it.
            statements.Add(source.IsLibrary && KindOfGear(splitter.Kinds[0]) is { } kind ? new Statement(text, kind, shapes) : new Statement(text, ShapeOf(splitter.Kinds)));
        }
        next = splitter.NextStart;
    }

    /// <summary>Makes room for as many statements as there will be if the text goes on as it was up to a place: lists that double are mostly too long, and copied over and over.</summary>
    private void MakeRoom(int at)
    {
        var expected = statements.Count * (double)(last - first) / Math.Max(1, at - first);
        var room = Math.Max(statements.Count + statements.Count / 8 + 8, (int)Math.Min(expected * 1.05, last - first));
        statements.Capacity = room;
        starts.Capacity = room;
    }

    /// <summary>The shape of a statement: often its neighbour's, which need not be looked for.</summary>
    private Shape ShapeOf(ReadOnlySpan<TokenKind> kinds) =>
        lastShape is { } same && !same.Tokens.IsEmpty && kinds.SequenceEqual(same.Tokens.AsSpan()) ? same : lastShape = shapes.ShapeOf(kinds);

    /// <summary>Goes on with another run's statements, from the first place where both start one.</summary>
    private void Join(StatementRun other)
    {
        int from;
        while ((from = other.starts.BinarySearch(next)) < 0 && next < source.Length) GoOnTo(next + 1);
        HasOpenComment |= other.HasOpenComment;
        if (from >= 0) (rest, restFrom) = (other, from);
    }

    private static NodeKind? KindOfGear(TokenKind opener) => opener switch
    {
        TokenKind.Gear => NodeKind.Gear,
        TokenKind.Card => NodeKind.Card,
        _ => null,
    };
}
