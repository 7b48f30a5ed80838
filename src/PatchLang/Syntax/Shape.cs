using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>
/// The parse of a sequence of token kinds, without text or positions. It is shared by every statement with the same sequence.
/// Nodes are in preorder: the children of node <c>i</c> begin at <c>i + 1</c>, and
/// <see cref="ShapeNode.SubtreeEnd"/> is the index after its last descendant.
/// </summary>
public sealed class Shape(ImmutableArray<TokenKind> tokens, ImmutableArray<ShapeNode> nodes, ImmutableArray<ShapeError> errors)
{
    private ImmutableArray<Repair>[]? repairs;
    private object?[]? memos;
    private Shape? meant;

    /// <summary>The shape of every statement with more tokens than the parser accepts. It holds no tokens.</summary>
    internal static Shape TooLong { get; } = new([], [new ShapeNode(NodeKind.Statement, 0, Statement.MostTokens, 1)], []);

    /// <summary>The kinds of the statement's tokens, without the end of file.</summary>
    public ImmutableArray<TokenKind> Tokens { get; } = tokens;

    /// <summary>
    /// The nodes in preorder. The first is the statement itself (a <see cref="NodeKind.Feed"/>, a <see cref="NodeKind.Unit"/> …), or
    /// <see cref="NodeKind.Statement"/> if no opening word says what it is.
    /// </summary>
    public ImmutableArray<ShapeNode> Nodes { get; } = nodes;

    /// <summary>The syntax errors, in token order.</summary>
    public ImmutableArray<ShapeError> Errors { get; } = errors;

    /// <summary>The kind of statement.</summary>
    public NodeKind Kind { get; } = nodes[0].Kind;

    /// <summary>Whether it was parsed without errors.</summary>
    public bool IsRead { get; } = errors.IsEmpty && nodes[0].Kind != NodeKind.Statement;

    /// <summary>
    /// The parse of what its statements were clearly meant to be, over the same tokens; itself if it has no errors, or the intention is unclear.
    /// </summary>
    internal Shape Meant => IsRead ? this : meant ??= MeantShape.Of(this);

    /// <summary>The changes after which it can be parsed past one of its errors.</summary>
    internal ImmutableArray<Repair> RepairsOf(int error)
    {
        var known = repairs ??= new ImmutableArray<Repair>[Errors.Length];
        if (known[error].IsDefault) ImmutableInterlocked.InterlockedInitialize(ref known[error], Repairs.Of(this, error));
        return known[error];
    }

    /// <summary>A slot for each node, in which later stages cache results that hold for every statement of the shape.</summary>
    internal object?[] Memos => memos ??= new object?[Nodes.Length];

    /// <summary>The index of a node's parent; −1 for the root.</summary>
    internal int ParentOf(int node)
    {
        for (var i = node - 1; i >= 0; i--)
            if (Nodes[i].SubtreeEnd > node) return i;
        return -1;
    }

    /// <summary>Whether it may contain an unterminated comment, which is always the last token, since it extends to the next statement.</summary>
    internal bool MayHaveOpenComment => Tokens.IsEmpty || Tokens[^1] == TokenKind.OpenBlock;
}

/// <summary>
/// A node over the tokens from <paramref name="FirstToken"/> up to, not including,
/// <paramref name="EndToken"/>; the two are equal if the piece is missing.
/// </summary>
public readonly record struct ShapeNode(NodeKind Kind, int FirstToken, int EndToken, int SubtreeEnd);

/// <summary>A syntax error.</summary>
/// <param name="Token">The index of the unexpected token; the number of tokens if the error is at the end.</param>
/// <param name="TokenCount">How many tokens were skipped to recover; 0 if a piece is missing.</param>
/// <param name="Rule">The grammar rule that was being parsed.</param>
/// <param name="Node">The index of that rule's node; 0, the statement, if the statement was complete and more tokens follow.</param>
/// <param name="Expected">The token kinds that would have been accepted.</param>
public readonly record struct ShapeError(int Token, int TokenCount, NodeKind Rule, int Node, ImmutableArray<TokenKind> Expected);
