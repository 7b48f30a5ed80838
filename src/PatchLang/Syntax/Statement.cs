using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>
/// One statement: its text, from its opening word up to the next statement's, and the shape of its tokens.
/// Keeps no token: <see cref="Read"/> scans the text again when positions are wanted.
/// </summary>
public sealed class Statement
{
    private readonly ShapeCache? shapes;
    private Shape? shape;
    private KnownProblems? problems;

    /// <summary>The most tokens that a statement is read with; a longer one is one finding, whatever is in it.</summary>
    public const int MostTokens = 16_000;

    internal Statement(ReadOnlyMemory<char> text, Shape shape)
    {
        Text = text;
        this.shape = shape;
        Kind = shape.Kind;
    }

    /// <summary>A statement of a file that is known to be right: it is parsed when someone looks into it, which for most of the library is never.</summary>
    internal Statement(ReadOnlyMemory<char> text, NodeKind kind, ShapeCache shapes)
    {
        Text = text;
        Kind = kind;
        this.shapes = shapes;
    }

    /// <summary>The statement's text, trailing white space and comments included.</summary>
    public ReadOnlyMemory<char> Text { get; }

    /// <summary>The parse of its token kinds.</summary>
    public Shape Shape => shape ??= FindShape();

    /// <summary>What sort of statement it is.</summary>
    public NodeKind Kind { get; }

    /// <summary>What later stages worked out of the statement and keep with it, so that a statement that did not change need not be read again.</summary>
    internal object? Memo { get; set; }

    /// <summary>What could not be read in it, given the statements that stand beside it. Kept until one of those is another.</summary>
    internal ImmutableArray<TextProblem> ProblemsBetween(Statement? previous, Statement? next)
    {
        var known = problems;
        if (known is null || !ReferenceEquals(known.Previous, previous) || !ReferenceEquals(known.Next, next))
            problems = known = new KnownProblems(previous, next, BrokenStatement.ProblemsOf(previous, this, next));
        return known.Found;
    }

    /// <summary>Opens the statement for reading. The result is borrowed: dispose it when done.</summary>
    public StatementReading Read() => StatementReading.Open(this);

    private Shape FindShape()
    {
        var splitter = new Splitter(Text.Span, 0);
        splitter.MoveNext();
        return shapes!.ShapeOf(splitter.Kinds);
    }

    private sealed record KnownProblems(Statement? Previous, Statement? Next, ImmutableArray<TextProblem> Found);
}
