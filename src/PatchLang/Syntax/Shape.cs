using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>
/// The parse of a sequence of token kinds, without any text or position: shared by every statement whose
/// tokens are of these kinds. Nodes stand in preorder: the children of node <c>i</c> begin at <c>i + 1</c>,
/// and the node behind its last descendant is <see cref="ShapeNode.SubtreeEnd"/>.
/// </summary>
public sealed class Shape(ImmutableArray<TokenKind> tokens, ImmutableArray<ShapeNode> nodes, ImmutableArray<ShapeError> errors)
{
    private ImmutableArray<Repair>[]? repairs;
    private object?[]? memos;
    private Shape? meant;

    /// <summary>The shape of every statement with more tokens than are read. It keeps none of them.</summary>
    internal static Shape TooLong { get; } = new([], [new ShapeNode(NodeKind.Statement, 0, Statement.MostTokens, 1)], []);

    /// <summary>The kinds of the statement's tokens, end of file not among them.</summary>
    public ImmutableArray<TokenKind> Tokens { get; } = tokens;

    /// <summary>The nodes in preorder; the first is the statement itself (a <see cref="NodeKind.Feed"/>, a <see cref="NodeKind.Unit"/> …), or <see cref="NodeKind.Statement"/> where it can't be read.</summary>
    public ImmutableArray<ShapeNode> Nodes { get; } = nodes;

    /// <summary>What the grammar did not find where it looked, in order.</summary>
    public ImmutableArray<ShapeError> Errors { get; } = errors;

    /// <summary>What sort of statement it is.</summary>
    public NodeKind Kind { get; } = nodes[0].Kind;

    /// <summary>Whether it could be read from its first token to its last.</summary>
    public bool IsRead { get; } = errors.IsEmpty && nodes[0].Kind != NodeKind.Statement;

    /// <summary>The parse of what its statements are plainly meant to be, over the same tokens; itself, where it can be read, or nobody can tell.</summary>
    internal Shape Meant => IsRead ? this : meant ??= MeantShape.Of(this);

    /// <summary>The changes that would let it be read on behind one of its errors.</summary>
    internal ImmutableArray<Repair> RepairsOf(int error)
    {
        var known = repairs ??= new ImmutableArray<Repair>[Errors.Length];
        if (known[error].IsDefault) ImmutableInterlocked.InterlockedInitialize(ref known[error], Repairs.Of(this, error));
        return known[error];
    }

    /// <summary>What later stages worked out of its nodes, one by one, and keep with it: it serves all statements of the shape.</summary>
    internal object?[] Memos => memos ??= new object?[Nodes.Length];

    /// <summary>The index of the node that a node belongs to; −1 for the statement's own.</summary>
    internal int ParentOf(int node)
    {
        for (var i = node - 1; i >= 0; i--)
            if (Nodes[i].SubtreeEnd > node) return i;
        return -1;
    }

    /// <summary>Whether a comment in it may be open. Such a comment is the last token, since it reaches up to the next statement.</summary>
    internal bool MayHaveOpenComment => Tokens.IsEmpty || Tokens[^1] == TokenKind.OpenBlock;
}

/// <summary>A node over tokens <paramref name="FirstToken"/> up to, not including, <paramref name="EndToken"/>; equal where the piece is missing.</summary>
public readonly record struct ShapeNode(NodeKind Kind, int FirstToken, int EndToken, int SubtreeEnd);

/// <summary>A place where the grammar expected something else.</summary>
/// <param name="Token">The index of the token that stands there; the count of tokens at the end.</param>
/// <param name="TokenCount">How many tokens were skipped to go on; 0 where a piece is missing.</param>
/// <param name="Rule">The rule that was being read.</param>
/// <param name="Node">The index of that rule's node; 0, the statement, where it was read to its end and more stands behind it.</param>
/// <param name="Expected">What could have stood there.</param>
public readonly record struct ShapeError(int Token, int TokenCount, NodeKind Rule, int Node, ImmutableArray<TokenKind> Expected);
