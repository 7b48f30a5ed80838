using System.Runtime.InteropServices;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// The statements of a text from one position on. A large text is split by two runs in parallel, which are then joined: where a
/// statement starts does not depend on what comes before it, so from any position where both runs start one, they agree.
/// </summary>
internal sealed class StatementRun
{
    // Length of a typical line, in characters: estimates how much work a text is.
    private const int UsualLine = 80;

    // After this many statements the total can be estimated from their average length.
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

    /// <summary>Where each statement starts.</summary>
    public int[] Starts => [.. CollectionsMarshal.AsSpan(starts), .. rest is null ? [] : CollectionsMarshal.AsSpan(rest.starts)[restFrom..]];

    /// <summary>Whether one of them contains an unterminated comment.</summary>
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

    /// <summary>
    /// The next line start that looks like the start of a statement, or the end of the text. It may be wrong: the line may be inside a comment.
    /// </summary>
    private static int StartBehind(string content, int at)
    {
        var noCommentEndFrom = int.MaxValue;
        while (content.IndexOf('\n', at) is >= 0 and var line)
        {
            // Continue after the scanned token, so that comment lines before it are not scanned again for each of them.
            at = line + 1;
            if (Scanner.Next(content, ref at, out var kind, out var start, ref noCommentEndFrom) && kind.IsOpener()) return start;
        }
        return content.Length;
    }

    /// <summary>Splits up to the first statement that starts at or after a position.</summary>
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
            // Tests keep the library free of errors, and a plan uses little of it: its statements are parsed on demand.
            statements.Add(source.IsLibrary && KindOfGear(splitter.Kinds[0]) is { } kind ? new Statement(text, kind, shapes) : new Statement(text, ShapeOf(splitter.Kinds)));
        }
        next = splitter.NextStart;
    }

    /// <summary>
    /// Grows the lists to the size extrapolated from the statements so far: doubling would mostly overshoot, and copy again and again.
    /// </summary>
    private void MakeRoom(int at)
    {
        var expected = statements.Count * (double)(last - first) / Math.Max(1, at - first);
        var room = Math.Max(statements.Count + statements.Count / 8 + 8, (int)Math.Min(expected * 1.05, last - first));
        statements.Capacity = room;
        starts.Capacity = room;
    }

    /// <summary>The shape of a statement. Often it is the previous one's, which saves the lookup.</summary>
    private Shape ShapeOf(ReadOnlySpan<TokenKind> kinds) =>
        lastShape is { } same && !same.Tokens.IsEmpty && kinds.SequenceEqual(same.Tokens.AsSpan()) ? same : lastShape = shapes.ShapeOf(kinds);

    /// <summary>Appends another run's statements, from the first position where both start one.</summary>
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
