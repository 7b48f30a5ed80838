using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>
/// One statement: its text, from its opening word up to the next statement's, and the shape of its tokens.
/// Keeps no token: <see cref="Read"/> scans the text again when positions are wanted.
/// </summary>
public sealed class Statement
{
    // The shape; of a few statements what is known besides, which is then apart, since a plan has a great many of the others.
    private object form;

    /// <summary>The most tokens that a statement is read with; a longer one is one finding, whatever is in it.</summary>
    public const int MostTokens = 16_000;

    internal Statement(ReadOnlyMemory<char> text, Shape shape)
    {
        Text = text;
        form = shape;
    }

    /// <summary>A statement of a file that is known to be right: it is parsed when someone looks into it, which for most of the library is never.</summary>
    internal Statement(ReadOnlyMemory<char> text, NodeKind kind, ShapeCache shapes)
    {
        Text = text;
        form = new Unread(kind, shapes);
    }

    /// <summary>The statement's text, trailing white space and comments included.</summary>
    public ReadOnlyMemory<char> Text { get; }

    /// <summary>The parse of its token kinds.</summary>
    public Shape Shape => form as Shape ?? ShapeOf(form);

    /// <summary>What sort of statement it is.</summary>
    public NodeKind Kind => form is Shape shape ? shape.Kind : form is Unread unread ? unread.Kind : Shape.Kind;

    /// <summary>What later stages worked out of the statement and keep with it, so that a statement that did not change need not be read again.</summary>
    internal object? Memo { get; set; }

    /// <summary>What could not be read in it, given the statements that stand beside it. Kept until one of those is another.</summary>
    internal ImmutableArray<TextProblem> ProblemsBetween(Statement? previous, Statement? next)
    {
        if (form is Troubled known && ReferenceEquals(known.Previous, previous) && ReferenceEquals(known.Next, next)) return known.Problems;
        var problems = BrokenStatement.ProblemsOf(previous, this, next);
        form = new Troubled(Shape, previous, next, problems);
        return problems;
    }

    /// <summary>Opens the statement for reading. The result is borrowed: dispose it when done.</summary>
    public StatementReading Read() => StatementReading.Open(this, Shape);

    /// <summary>The same, of what it is plainly meant to be, where it can't be read.</summary>
    internal StatementReading ReadAsMeant() => StatementReading.Open(this, Shape.Meant);

    /// <summary>Whether it can be read, or it is plain what is meant.</summary>
    internal bool IsClear => Shape.Meant.IsRead;

    private Shape ShapeOf(object kept)
    {
        if (kept is Troubled troubled) return troubled.Shape;
        var splitter = new Splitter(Text.Span, 0);
        splitter.MoveNext();
        var shape = ((Unread)kept).Shapes.ShapeOf(splitter.Kinds);
        form = shape;
        return shape;
    }

    /// <summary>A statement that nobody looked into yet.</summary>
    private sealed record Unread(NodeKind Kind, ShapeCache Shapes);

    /// <summary>A statement that stands beside others in a way that may be wrong, and what is wrong with it.</summary>
    private sealed record Troubled(Shape Shape, Statement? Previous, Statement? Next, ImmutableArray<TextProblem> Problems);
}
