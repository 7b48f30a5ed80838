using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace PatchLang.Syntax;

/// <summary>
/// What a statement that can't be read was plainly meant to be: one in which signs that belong nowhere are passed over, and for which
/// there is one repair alone that lets it be read from its first token to its last. The tokens stay those that are written, so that all
/// places are those of the text; a sign that is thought in is no token.
/// </summary>
internal sealed class MeantShape
{
    private readonly Shape written;

    // Each token as it is meant, and which of those written it stands for: none, one, or a few.
    private readonly List<(TokenKind Kind, int First, int End)> tokens = [];

    private MeantShape(Shape written) => this.written = written;

    /// <summary>The shape as it is meant; the one that is written, where nobody can tell.</summary>
    public static Shape Of(Shape written) => written.Errors.IsEmpty || written.Tokens.Length > Repairs.MostTokens ? written : new MeantShape(written).Find();

    private Shape Find()
    {
        for (var i = 0; i < written.Tokens.Length; i++)
            if (written.Tokens[i] != TokenKind.Stray) tokens.Add((written.Tokens[i], i, i + 1));
        var shape = Parse();
        if (shape.IsRead) return OverWritten(shape);
        if (shape.Errors.IsEmpty) return written;
        if (shape.RepairsOf(0).Where(r => r.IsWhole).Take(2).ToList() is not [var only] || MayLackMore(only)) return written;
        Make(only);
        return Parse() is { IsRead: true } repaired && !HasWordAsName(repaired) ? OverWritten(repaired) : written;
    }

    private Shape Parse()
    {
        var kinds = tokens.ConvertAll(t => t.Kind);
        return Repairs.Parse(CollectionsMarshal.AsSpan(kinds));
    }

    /// <summary>Whether a word of the language is a name: where a name is gone, the word behind it is taken for one.</summary>
    private bool HasWordAsName(Shape shape) => shape.Nodes.Any(n => n.Kind == NodeKind.Name && n.FirstToken < n.EndToken && tokens[n.FirstToken].Kind.IsContextual());

    /// <summary>Whether more than a sign may have gone there: what stood ahead of an arrow, or behind a comma. Ahead of braces that is a label at most.</summary>
    private bool MayLackMore(Repair repair) => repair.Kind switch
    {
        RepairKind.Insert => !repair.Added.IsSign(),
        RepairKind.Replace => tokens[repair.Token].Kind == TokenKind.Arrow,
        RepairKind.Delete => repair.Token + 1 >= tokens.Count || tokens[repair.Token + 1].Kind != TokenKind.OpenBrace,
        _ => false,
    };

    private void Make(Repair repair)
    {
        var (at, end) = (repair.Token, repair.Token + repair.Count);
        switch (repair.Kind)
        {
            case RepairKind.Insert:
                ThinkIn(at, repair.Added);
                break;
            case RepairKind.Delete:
                tokens.RemoveRange(at, repair.Count);
                break;
            case RepairKind.Replace or RepairKind.Quote:
                var put = (repair.Added, tokens[at].First, tokens[end - 1].End);
                tokens.RemoveRange(at, repair.Count);
                tokens.Insert(at, put);
                break;
            case RepairKind.Wrap:
                ThinkIn(end, Spelling.CloserOf(repair.Added));
                ThinkIn(at, repair.Added);
                break;
            case RepairKind.Close:
                var kinds = tokens.ConvertAll(t => t.Kind);
                foreach (var open in Repairs.OpenBefore(CollectionsMarshal.AsSpan(kinds), kinds.Count).AsEnumerable().Reverse()) ThinkIn(tokens.Count, Spelling.CloserOf(kinds[open]));
                break;
        }
    }

    private void ThinkIn(int at, TokenKind kind)
    {
        var place = at < tokens.Count ? tokens[at].First : tokens[^1].End;
        tokens.Insert(at, (kind, place, place));
    }

    /// <summary>The nodes of the tokens as meant, over those that are written.</summary>
    private Shape OverWritten(Shape meant)
    {
        return new Shape(written.Tokens, [.. meant.Nodes.Select((n, i) => i == 0 ? n with { FirstToken = 0, EndToken = written.Tokens.Length } : Over(n))], []);

        ShapeNode Over(ShapeNode node)
        {
            var first = node.FirstToken < tokens.Count ? tokens[node.FirstToken].First : written.Tokens.Length;
            var end = node.EndToken == 0 ? 0 : tokens[node.EndToken - 1].End;
            return node with { FirstToken = first, EndToken = Math.Max(first, end) };
        }
    }
}
