using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace PatchLang.Syntax;

/// <summary>
/// What a statement with syntax errors was clearly meant to be: one in which stray signs are skipped, and that a single possible repair
/// makes parse completely. Tokens and positions remain those of the text; an inserted sign is no token.
/// </summary>
internal sealed class MeantShape
{
    private readonly Shape written;

    // The tokens as intended, and which of the written tokens each stands for: none, one or several.
    private readonly List<(TokenKind Kind, int First, int End)> tokens = [];

    private MeantShape(Shape written) => this.written = written;

    /// <summary>The intended shape; the shape as written if the intention is unclear.</summary>
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

    /// <summary>Whether a keyword is used as a name: if a name is missing, the word after it is taken for the name.</summary>
    private bool HasWordAsName(Shape shape) => shape.Nodes.Any(n => n.Kind == NodeKind.Name && n.FirstToken < n.EndToken && tokens[n.FirstToken].Kind.IsContextual());

    /// <summary>
    /// Whether more than a sign may be missing there: a word before an arrow, or an item after a comma. Before braces, it is at most a label.
    /// </summary>
    private bool MayLackMore(Repair repair) => repair.Kind switch
    {
        RepairKind.Insert => !repair.Added.IsSign() || (repair.Added == TokenKind.Comma && IsBetweenNames(repair.Token)),
        RepairKind.Replace => tokens[repair.Token].Kind == TokenKind.Arrow,
        RepairKind.Delete => repair.Token + 1 >= tokens.Count || tokens[repair.Token + 1].Kind != TokenKind.OpenBrace,
        _ => false,
    };

    /// <summary>Whether a place lies between the name of a part and another name: the two may be one name with a blank in it.</summary>
    private bool IsBetweenNames(int token) =>
        token >= 2 && token < tokens.Count && tokens[token].Kind.CanBeName() && tokens[token - 1].Kind.CanBeName() && tokens[token - 2].Kind == TokenKind.Dot;

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

    /// <summary>The nodes of the intended tokens, mapped to the written ones.</summary>
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
