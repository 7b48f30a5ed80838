using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// The statements of one file. Lossless: <see cref="Header"/> and the statements' texts, one behind the other,
/// are the file. Immutable: <see cref="With(TextChange)"/> gives the next tree, which shares every statement that did not change.
/// </summary>
public sealed class SyntaxTree
{
    private readonly ShapeCache shapes;
    private readonly int[] starts;
    private readonly Statement[] statements;
    private ImmutableArray<Finding> findings;

    private SyntaxTree(SourceText source, ShapeCache shapes, int[] starts, Statement[] statements)
    {
        Source = source;
        this.shapes = shapes;
        this.starts = starts;
        this.statements = statements;
    }

    /// <summary>The file.</summary>
    public SourceText Source { get; }

    /// <summary>What stands before the first statement: white space and comments.</summary>
    public TextSpan Header => TextSpan.FromTo(0, Count > 0 ? starts[0] : Source.Length);

    /// <summary>The number of statements.</summary>
    public int Count => starts.Length;

    /// <summary>A statement, by its place in the file.</summary>
    public Statement this[int index] => statements[index];

    /// <summary>Where a statement starts in the file.</summary>
    public int StartOf(int index) => starts[index];

    /// <summary>The statement at or before a position; −1 in the header.</summary>
    public int IndexAt(int offset)
    {
        var index = Array.BinarySearch(starts, offset);
        return index < 0 ? ~index - 1 : index;
    }

    /// <summary>The documentation written before a statement: its <c>///</c> lines without the marks; empty if none.</summary>
    public string DocumentationOf(int index) => Documentation.Before(this, index);

    /// <summary>What the parser could not read, in the plan's terms.</summary>
    public ImmutableArray<Finding> Findings
    {
        get
        {
            if (findings.IsDefault) ImmutableInterlocked.InterlockedInitialize(ref findings, TextProblems.Of(this));
            return findings;
        }
    }

    /// <summary>Reads a file.</summary>
    public static SyntaxTree Parse(SourceText source) => Parse(source, ShapeCache.Shared);

    internal static SyntaxTree Parse(SourceText source, ShapeCache shapes)
    {
        var content = source.Content;
        var found = new List<Statement>();
        var foundAt = new List<int>();
        var splitter = new Splitter(content, 0);
        while (splitter.MoveNext())
        {
            foundAt.Add(splitter.Start);
            found.Add(new Statement(content.AsMemory(splitter.Start, splitter.NextStart - splitter.Start), shapes.ShapeOf(splitter.Kinds)));
        }
        return new SyntaxTree(source, shapes, [.. foundAt], [.. found]);
    }

    /// <summary>The tree of the changed text. Only statements whose text changed are scanned again, and shapes already known are not parsed again.</summary>
    public SyntaxTree With(TextChange change) => Parse(Source.With(change), shapes);
}
