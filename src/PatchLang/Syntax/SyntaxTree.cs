using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// The statements of one file. Lossless: <see cref="Header"/> and the statements' texts, concatenated, are the file.
/// Immutable: <see cref="With(TextChange)"/> gives the next tree, which shares every unchanged statement.
/// </summary>
public sealed class SyntaxTree
{
    private const int Block = 1024;

    private readonly ShapeCache shapes;
    private readonly int[] starts;
    private readonly Statement[] statements;
    private readonly bool hasOpenComment;
    private ImmutableArray<Finding> findings;

    private SyntaxTree(SourceText source, ShapeCache shapes, int[] starts, Statement[] statements, bool hasOpenComment)
    {
        Source = source;
        this.shapes = shapes;
        this.starts = starts;
        this.statements = statements;
        this.hasOpenComment = hasOpenComment;
    }

    /// <summary>The file.</summary>
    public SourceText Source { get; }

    /// <summary>The white space and comments before the first statement.</summary>
    public TextSpan Header => TextSpan.FromTo(0, Count > 0 ? starts[0] : Source.Length);

    /// <summary>The number of statements.</summary>
    public int Count => starts.Length;

    /// <summary>A statement, by its index in the file.</summary>
    public Statement this[int index] => statements[index];

    /// <summary>The index of a statement in the file; −1 if it does not belong to the file.</summary>
    public int IndexOf(Statement statement) => statements.AsSpan().IndexOf(statement);

    /// <summary>Where a statement starts in the file.</summary>
    public int StartOf(int index) => starts[index];

    /// <summary>The index of the last statement that starts at or before a position; −1 in the header.</summary>
    public int IndexAt(int offset)
    {
        var index = Array.BinarySearch(starts, offset);
        return index < 0 ? ~index - 1 : index;
    }

    /// <summary>The documentation written before a statement: its <c>///</c> lines without the marks; empty if none.</summary>
    public string DocumentationOf(int index) => Documentation.Before(this, index);

    /// <summary>The syntax errors, as findings.</summary>
    public ImmutableArray<Finding> Findings
    {
        get
        {
            if (findings.IsDefault) ImmutableInterlocked.InterlockedInitialize(ref findings, TextProblems.Of(this));
            return findings;
        }
    }

    /// <summary>Parses a file.</summary>
    public static SyntaxTree Parse(SourceText source) => Parse(source, ShapeCache.Shared);

    internal static SyntaxTree Parse(SourceText source, ShapeCache shapes)
    {
        var all = StatementRun.Of(source, shapes);
        return new SyntaxTree(source, shapes, all.Starts, all.Statements, all.HasOpenComment);
    }

    /// <summary>
    /// The tree of the text after a change. Only statements near the change are scanned again, and only shapes not seen before are parsed.
    /// </summary>
    public SyntaxTree With(TextChange change) => With(Source.With(change), change.Span, change.NewText.Length);

    /// <summary>
    /// The tree of a new text of the same file: like <see cref="With(TextChange)"/>, for callers that know only the result of a change.
    /// </summary>
    public SyntaxTree With(SourceText source)
    {
        var before = Source.Content.AsSpan();
        var after = source.Content.AsSpan();
        var start = before.CommonPrefixLength(after);
        var shorter = Math.Min(before.Length, after.Length);
        var same = 0;
        // Compare from the end by blocks, then character by character inside the block that differs.
        while (same + Block <= shorter - start && before[^(same + Block)..^same].SequenceEqual(after[^(same + Block)..^same])) same += Block;
        while (same < shorter - start && before[^(same + 1)] == after[^(same + 1)]) same++;
        return With(source, TextSpan.FromTo(start, before.Length - same), after.Length - same - start);
    }

    /// <param name="source">The new text.</param>
    /// <param name="replaced">The span of the old text that was replaced.</param>
    /// <param name="newLength">The length of its replacement.</param>
    private SyntaxTree With(SourceText source, TextSpan replaced, int newLength)
    {
        var content = source.Content;
        var delta = newLength - replaced.Length;
        var first = FirstToSplit(replaced.Start);
        var splitter = new Splitter(content, first == 0 ? 0 : starts[first]);
        var found = new List<Statement>();
        var foundAt = new List<int>();
        var isOpen = false;
        int tail;
        // Once a statement after the change starts where one started before, the rest is unchanged.
        while (!IsUnchangedFrom(splitter.NextStart, out tail) && splitter.MoveNext())
        {
            isOpen |= splitter.HasOpenComment;
            foundAt.Add(splitter.Start);
            var text = content.AsSpan(splitter.Start, splitter.NextStart - splitter.Start);
            // Copy the text: the statement outlives this version of the file and must not keep all of it in memory.
            found.Add(Known(splitter.Start, text) ?? new Statement(text.ToString().AsMemory(), shapes.ShapeOf(splitter.Kinds)));
        }
        return Join(source, first, foundAt, found, tail, delta, isOpen);

        bool IsUnchangedFrom(int start, out int index)
        {
            index = start - delta >= replaced.End ? Array.BinarySearch(starts, start - delta) : -1;
            if (index < 0) index = Count;
            return index < Count;
        }

        Statement? Known(int start, ReadOnlySpan<char> text)
        {
            var index = start < replaced.End ? Array.BinarySearch(starts, start) : -1;
            return index >= 0 && statements[index].Text.Span.SequenceEqual(text) ? statements[index] : null;
        }
    }

    /// <summary>
    /// The first statement that a change at a position can affect: the one before it too, since a change at its end can join the two.
    /// </summary>
    private int FirstToSplit(int position)
    {
        var first = Math.Max(0, IndexAt(position) - 1);
        // A `*/` inserted anywhere after an unterminated comment can close it.
        for (var i = 0; hasOpenComment && i < first; i++)
            if (statements[i].Shape.MayHaveOpenComment) return i;
        return first;
    }

    private SyntaxTree Join(SourceText source, int first, List<int> foundAt, List<Statement> found, int tail, int delta, bool isOpen)
    {
        var count = first + found.Count + Count - tail;
        var newStarts = new int[count];
        var newStatements = new Statement[count];
        Array.Copy(starts, newStarts, first);
        Array.Copy(statements, newStatements, first);
        foundAt.CopyTo(newStarts, first);
        found.CopyTo(newStatements, first);
        Array.Copy(statements, tail, newStatements, first + found.Count, Count - tail);
        for (int from = tail, to = first + found.Count; from < Count; from++, to++) newStarts[to] = starts[from] + delta;
        for (var i = tail; hasOpenComment && !isOpen && i < Count; i++) isOpen = statements[i].Shape.MayHaveOpenComment;
        return new SyntaxTree(source, shapes, newStarts, newStatements, isOpen);
    }
}
