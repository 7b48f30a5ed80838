using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// The statements of one file. Lossless: <see cref="Header"/> and the statements' texts, one behind the other,
/// are the file. Immutable: <see cref="With"/> gives the next tree, which shares every statement that did not change.
/// </summary>
public sealed class SyntaxTree
{
    /// <summary>The file.</summary>
    public SourceText Source => throw new NotSupportedException("being written");

    /// <summary>What stands before the first statement: white space and comments.</summary>
    public TextSpan Header => throw new NotSupportedException("being written");

    /// <summary>The number of statements.</summary>
    public int Count => throw new NotSupportedException("being written");

    /// <summary>A statement, by its place in the file.</summary>
    public Statement this[int index] => throw new NotSupportedException("being written");

    /// <summary>Where a statement starts in the file.</summary>
    public int StartOf(int index) => throw new NotSupportedException("being written");

    /// <summary>The statement at or before a position; −1 in the header.</summary>
    public int IndexAt(int offset) => throw new NotSupportedException("being written");

    /// <summary>The documentation written before a statement: its <c>///</c> lines without the marks; empty if none.</summary>
    public string DocumentationOf(int index) => throw new NotSupportedException("being written");

    /// <summary>What the parser could not read, in the plan's terms.</summary>
    public ImmutableArray<Finding> Findings => throw new NotSupportedException("being written");

    /// <summary>Reads a file.</summary>
    public static SyntaxTree Parse(SourceText source) => throw new NotSupportedException("being written");

    /// <summary>The tree of the changed text. Only statements whose text changed are scanned again, and shapes already known are not parsed again.</summary>
    public SyntaxTree With(TextChange change) => throw new NotSupportedException("being written");
}
