using System.Runtime.InteropServices;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// A statement with the positions of its tokens, while someone reads it. Rented from a pool per thread; nodes taken from it are
/// valid until it is disposed. Positions count from the start of the statement.
/// </summary>
public sealed class StatementReading : IDisposable
{
    [ThreadStatic]
    private static Stack<StatementReading>? pool;

    private readonly TokenBuffer tokens = new();

    /// <summary>The statement being read.</summary>
    public Statement Statement { get; private set; } = null!;

    /// <summary>The node of the whole statement.</summary>
    public SyntaxNode Root => new(this, 0);

    internal Shape Shape { get; private set; } = null!;

    // The shape's nodes as a plain array, since every step through the statement reads one.
    internal ShapeNode[] Nodes { get; private set; } = [];

    /// <summary>The number of tokens.</summary>
    public int TokenCount => tokens.Count;

    /// <summary>The kind of a token; <see cref="TokenKind.None"/> after the last.</summary>
    public TokenKind KindOf(int token) => token < tokens.Count ? tokens.KindOf(token) : TokenKind.None;

    /// <summary>The span of a token; after the last, the empty span at its end.</summary>
    public TextSpan SpanOf(int token) =>
        token < tokens.Count ? tokens.SpanOf(token)
        : tokens.Count == 0 ? default
        : new TextSpan(tokens.SpanOf(tokens.Count - 1).End, 0);

    /// <summary>The text of a token.</summary>
    public ReadOnlySpan<char> TextOf(int token) => TextOf(SpanOf(token));

    /// <summary>The text of a span of the statement.</summary>
    public ReadOnlySpan<char> TextOf(TextSpan span) => Statement.Text.Span.Slice(span.Start, span.Length);

    /// <summary>
    /// The span of the tokens from <paramref name="first"/> up to, not including, <paramref name="end"/>; if there are none, the empty span
    /// after the token before.
    /// </summary>
    public TextSpan SpanOf(int first, int end) =>
        first < end ? (end <= tokens.Count ? tokens.SpanOf(first, end) : TextSpan.FromTo(SpanOf(first).Start, SpanOf(end - 1).End))
        : first > 0 ? new TextSpan(SpanOf(first - 1).End, 0)
        : new TextSpan(SpanOf(first).Start, 0);

    internal static StatementReading Open(Statement statement, Shape shape)
    {
        var reading = (pool ??= new Stack<StatementReading>()).TryPop(out var pooled) ? pooled : new StatementReading();
        reading.Statement = statement;
        reading.Shape = shape;
        reading.Nodes = ImmutableCollectionsMarshal.AsArray(shape.Nodes)!;
        var known = shape.Tokens.AsSpan();
        if (known.IsEmpty) reading.tokens.Scan(statement.Text.Span); // a statement that is too long
        else reading.tokens.Scan(statement.Text.Span, known);
        return reading;
    }

    /// <summary>Returns the reading to the pool.</summary>
    public void Dispose() => pool!.Push(this);
}
