using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>
/// One statement: its text, from its opening word up to the next statement's, and the shape of its tokens.
/// Tokens are not kept: <see cref="Read"/> scans the text again when positions are needed.
/// </summary>
public sealed class Statement
{
    // The shape, or for a few statements an object that holds it with more. One field, because a plan has very many statements.
    private object form;

    /// <summary>The most tokens that a statement may have; a longer one is not parsed, and gives a single finding.</summary>
    public const int MostTokens = 16_000;

    internal Statement(ReadOnlyMemory<char> text, Shape shape)
    {
        Text = text;
        form = shape;
    }

    /// <summary>A statement known to be correct. It is parsed only when someone reads it, which for most of the library is never.</summary>
    internal Statement(ReadOnlyMemory<char> text, NodeKind kind, ShapeCache shapes)
    {
        Text = text;
        form = new Unread(kind, shapes);
    }

    /// <summary>The statement's text, trailing white space and comments included.</summary>
    public ReadOnlyMemory<char> Text { get; }

    /// <summary>The parse of its token kinds, which statements of the same form share.</summary>
    public Shape Shape => form as Shape ?? ShapeOf(form);

    /// <summary>The kind of statement.</summary>
    public NodeKind Kind => form is Shape shape ? shape.Kind : form is Unread unread ? unread.Kind : Shape.Kind;

    /// <summary>
    /// A slot in which later stages cache what they derived from the statement, so that an unchanged statement is not analysed again.
    /// </summary>
    internal object? Memo { get; set; }

    /// <summary>Its syntax problems, given the statements beside it. Cached until one of those changes.</summary>
    internal ImmutableArray<TextProblem> ProblemsBetween(Statement? previous, Statement? next)
    {
        if (form is Troubled known && ReferenceEquals(known.Previous, previous) && ReferenceEquals(known.Next, next)) return known.Problems;
        var problems = BrokenStatement.ProblemsOf(previous, this, next);
        form = new Troubled(Shape, previous, next, problems);
        return problems;
    }

    /// <summary>Opens the statement for reading. The result is rented from a pool: dispose it when done.</summary>
    public StatementReading Read() => StatementReading.Open(this, Shape);

    /// <summary>The same for the statement as intended, if it has syntax errors.</summary>
    internal StatementReading ReadAsMeant() => StatementReading.Open(this, Shape.Meant);

    /// <summary>Whether it has no syntax errors, or its intention is clear nevertheless.</summary>
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

    /// <summary>A statement that has not been parsed yet.</summary>
    private sealed record Unread(NodeKind Kind, ShapeCache Shapes);

    /// <summary>The shape and problems of a statement, and the neighbours for which the problems were determined.</summary>
    private sealed record Troubled(Shape Shape, Statement? Previous, Statement? Next, ImmutableArray<TextProblem> Problems);
}
