using System.Runtime.CompilerServices;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// A piece of a statement: a node of its shape, seen over its tokens. The default value stands for a piece
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

    /// <summary>Its place among the nodes of its shape.</summary>
    internal int Index => index;

    /// <summary>Whether the piece is there at all.</summary>
    public bool Exists => reading is not null;

    /// <summary>Whether the piece is there with at least one token.</summary>
    public bool HasText => reading is not null && reading.Nodes[index] is var entry && entry.FirstToken < entry.EndToken;

    /// <summary>Whether it begins with a word that can be a name: what recovery from broken text puts in a name's place may be any token.</summary>
    internal bool IsName => HasText && Reading.KindOf(FirstToken) is (TokenKind.Name or TokenKind.Symbol or TokenKind.Code or (>= TokenKind.After and <= TokenKind.Ways));

    /// <summary>What the piece is.</summary>
    public NodeKind Kind => Entry.Kind;

    /// <summary>Its first token.</summary>
    public int FirstToken => Entry.FirstToken;

    /// <summary>The token behind its last.</summary>
    public int EndToken => Entry.EndToken;

    /// <summary>Where it stands, from the statement's start.</summary>
    public TextSpan Span => reading is null ? default : reading.SpanOf(FirstToken, EndToken);

    /// <summary>Its text, comments inside included.</summary>
    public ReadOnlySpan<char> Text => reading is null ? default : reading.TextOf(Span);

    /// <summary>The reading it belongs to.</summary>
    public StatementReading Reading => reading ?? throw new InvalidOperationException("The piece is not there.");

    /// <summary>What a later stage keeps with the piece, for all statements of the same shape. It is the same whoever works it out first.</summary>
    internal ref object? Memo => ref Reading.Shape.Memos[index];

    private ref readonly ShapeNode Entry => ref Reading.Nodes[index];

    /// <summary>The pieces right below it, in order.</summary>
    public ChildList Children => new(this, null);

    /// <summary>The pieces of one kind right below it, in order.</summary>
    public ChildList ChildrenOf(NodeKind kind) => new(this, kind);

    /// <summary>The first piece of a kind right below it; the default value if there is none.</summary>
    public SyntaxNode Child(NodeKind kind)
    {
        foreach (var child in ChildrenOf(kind)) return child;
        return default;
    }

    /// <summary>The first piece right below it; the default value if there is none.</summary>
    public SyntaxNode FirstChild
    {
        get
        {
            foreach (var child in Children) return child;
            return default;
        }
    }

    /// <summary>The first of its own tokens (those in no child) of a kind, or −1.</summary>
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

    /// <summary>Whether one of its own tokens is of a kind.</summary>
    public bool Has(TokenKind kind) => TokenOf(kind) >= 0;

    /// <summary>The pieces right below a node; an enumerator without allocation.</summary>
    public readonly struct ChildList(SyntaxNode parent, NodeKind? kind)
    {
        /// <summary>Starts at the first.</summary>
        public ChildEnumerator GetEnumerator() => new(parent, kind);

        /// <summary>How many there are.</summary>
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

    /// <summary>Walks the pieces right below a node.</summary>
    public struct ChildEnumerator
    {
        private readonly StatementReading? reading;
        private readonly ShapeNode[] nodes;
        private readonly bool isOfOneKind;
        private readonly NodeKind kind;
        private readonly int end;
        private int current;
        private int next;

        // In line, since every piece of every statement is come by here.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        internal ChildEnumerator(SyntaxNode parent, NodeKind? kind)
        {
            isOfOneKind = kind is not null;
            this.kind = kind.GetValueOrDefault();
            reading = parent.reading;
            nodes = null!; // not looked at, since nothing is before the end
            if (reading is null) return;
            nodes = reading.Nodes;
            end = nodes[parent.index].SubtreeEnd;
            next = parent.index + 1;
        }

        /// <summary>The piece it stands at.</summary>
        public readonly SyntaxNode Current => new(reading!, current);

        /// <summary>Goes to the next.</summary>
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
