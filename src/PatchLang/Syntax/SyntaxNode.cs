using System.Runtime.CompilerServices;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// A piece of a statement: a node of its shape together with the tokens under it. The default value stands for a piece
/// that is not there: <see cref="Exists"/> is false, it has no children and its text is empty.
/// </summary>
public readonly struct SyntaxNode
{
    private readonly StatementReading? reading;
    private readonly int index;

    internal SyntaxNode(StatementReading reading, int index)
    {
        this.reading = reading;
        this.index = index;
    }

    /// <summary>Its index among the nodes of its shape.</summary>
    internal int Index => index;

    /// <summary>Whether the piece is there at all.</summary>
    public bool Exists => reading is not null;

    /// <summary>Whether the piece is there and has at least one token.</summary>
    public bool HasText => reading is not null && reading.Nodes[index] is var entry && entry.FirstToken < entry.EndToken;

    /// <summary>Whether it begins with a token that can be a name. After error recovery any token may stand in a name's place.</summary>
    internal bool IsName => HasText && Reading.KindOf(FirstToken) is (TokenKind.Name or TokenKind.Symbol or TokenKind.Code or (>= TokenKind.After and <= TokenKind.Ways));

    /// <summary>What the piece is.</summary>
    public NodeKind Kind => Entry.Kind;

    /// <summary>The index of its first token.</summary>
    public int FirstToken => Entry.FirstToken;

    /// <summary>The index after its last token.</summary>
    public int EndToken => Entry.EndToken;

    /// <summary>Its span, counted from the start of the statement.</summary>
    public TextSpan Span => reading is null ? default : reading.SpanOf(FirstToken, EndToken);

    /// <summary>Its text, including comments inside it.</summary>
    public ReadOnlySpan<char> Text => reading is null ? default : reading.TextOf(Span);

    /// <summary>The reading it belongs to.</summary>
    public StatementReading Reading => reading ?? throw new InvalidOperationException("The piece is not there.");

    /// <summary>
    /// A slot in which a later stage caches a result that holds for every statement
    /// of the shape. Threads may race to fill it, since all would store the same.
    /// </summary>
    internal ref object? Memo => ref Reading.Shape.Memos[index];

    private ref readonly ShapeNode Entry => ref Reading.Nodes[index];

    /// <summary>Its direct children, in order.</summary>
    public ChildList Children => new(this, null);

    /// <summary>Its direct children of one kind, in order.</summary>
    public ChildList ChildrenOf(NodeKind kind) => new(this, kind);

    /// <summary>Its first direct child of a kind; the default value if there is none.</summary>
    public SyntaxNode Child(NodeKind kind)
    {
        foreach (var child in ChildrenOf(kind)) return child;
        return default;
    }

    /// <summary>Its first direct child; the default value if there is none.</summary>
    public SyntaxNode FirstChild
    {
        get
        {
            foreach (var child in Children) return child;
            return default;
        }
    }

    /// <summary>The index of the first token of a kind among those that are in none of its children; −1 if there is none.</summary>
    public int TokenOf(TokenKind kind)
    {
        if (reading is null) return -1;
        var token = FirstToken;
        foreach (var child in Children)
        {
            for (; token < child.FirstToken; token++)
                if (reading.KindOf(token) == kind) return token;
            token = Math.Max(token, child.EndToken);
        }
        for (; token < EndToken; token++)
            if (reading.KindOf(token) == kind) return token;
        return -1;
    }

    /// <summary>Whether it has such a token of a kind.</summary>
    public bool Has(TokenKind kind) => TokenOf(kind) >= 0;

    /// <summary>The direct children of a node, enumerated without allocation.</summary>
    public readonly struct ChildList(SyntaxNode parent, NodeKind? kind)
    {
        /// <summary>Enumerates the children.</summary>
        public ChildEnumerator GetEnumerator() => new(parent, kind);

        /// <summary>The number of children.</summary>
        public int Count
        {
            get
            {
                var count = 0;
                foreach (var _ in this) count++;
                return count;
            }
        }
    }

    /// <summary>Enumerates the direct children of a node.</summary>
    public struct ChildEnumerator
    {
        private readonly StatementReading? reading;
        private readonly ShapeNode[] nodes;
        private readonly bool isOfOneKind;
        private readonly NodeKind kind;
        private readonly int end;
        private int current;
        private int next;

        // Inlined, since every piece of every statement passes through here.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        internal ChildEnumerator(SyntaxNode parent, NodeKind? kind)
        {
            isOfOneKind = kind is not null;
            this.kind = kind.GetValueOrDefault();
            reading = parent.reading;
            nodes = null!; // never read: `end` is 0
            if (reading is null) return;
            nodes = reading.Nodes;
            end = nodes[parent.index].SubtreeEnd;
            next = parent.index + 1;
        }

        /// <summary>The current child.</summary>
        public readonly SyntaxNode Current => new(reading!, current);

        /// <summary>Moves to the next child; false after the last.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool MoveNext()
        {
            while (next < end)
            {
                current = next;
                ref readonly var node = ref nodes[current];
                next = node.SubtreeEnd;
                if (!isOfOneKind || node.Kind == kind) return true;
            }
            return false;
        }
    }
}
