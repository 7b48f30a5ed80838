using System.Collections.Immutable;
using PatchLang.Syntax;

namespace PatchLang.Formatting;

/// <summary>
/// The part of a statement's layout that depends only on its shape, so that
/// statements of one shape share it. Only for statements without errors.
/// </summary>
internal sealed class StatementLayout
{
    private readonly ImmutableArray<TokenKind> tokens;
    private readonly ImmutableArray<ShapeNode> nodes;
    private readonly byte[] spaces;
    private readonly byte[] columns;
    private readonly bool[] isItem;
    private readonly LineFamily[] families;

    public StatementLayout(Shape shape)
    {
        tokens = shape.Tokens;
        nodes = shape.Nodes;
        spaces = new byte[tokens.Length];
        columns = new byte[tokens.Length];
        isItem = new bool[tokens.Length];
        families = new LineFamily[tokens.Length];
        for (var t = 1; t < tokens.Length; t++)
        {
            spaces[t] = (byte)(AreJoined(tokens[t - 1], tokens[t]) ? 0 : 1);
            isItem[t] = tokens[t - 1] == TokenKind.OpenBrace && tokens[t] != TokenKind.CloseBrace;
        }
        for (var i = 0; i < nodes.Length; i++) Place(i);
    }

    /// <summary>The number of spaces before a token within a line.</summary>
    public int SpacesBefore(int token) => spaces[token];

    /// <summary>The column that a token begins; 0 if none.</summary>
    public int ColumnOf(int token) => columns[token];

    /// <summary>Whether a token begins an item inside braces, which may have its own line.</summary>
    public bool IsItem(int token) => isItem[token];

    /// <summary>The family of the line that a token begins.</summary>
    public LineFamily FamilyOf(int token) => families[token];

    private static bool AreJoined(TokenKind before, TokenKind after) =>
        after is TokenKind.Comma or TokenKind.Dot or TokenKind.Dots or TokenKind.OpenBracket or TokenKind.OpenParen or TokenKind.CloseBracket or TokenKind.CloseParen
        || before is TokenKind.Dot or TokenKind.Dots or TokenKind.OpenBracket or TokenKind.OpenParen or TokenKind.Plus or TokenKind.Minus;

    private void Place(int index)
    {
        var node = nodes[index];
        var first = node.FirstToken;
        switch (node.Kind)
        {
            case NodeKind.Use:
                families[first] = LineFamily.Use;
                Column(1, First(TokenKind.As, first + 2, node.EndToken));
                break;
            case NodeKind.Act:
                families[first] = LineFamily.Act;
                Column(1, First(TokenKind.String, first, End(node, TokenKind.OpenBrace)));
                break;
            case NodeKind.Format or NodeKind.Gear or NodeKind.Card:
                families[first] = node.Kind == NodeKind.Format ? LineFamily.Format : node.Kind == NodeKind.Gear ? LineFamily.Gear : LineFamily.Card;
                Column(1, First(TokenKind.OpenBrace, first, node.EndToken));
                break;
            case NodeKind.Unit:
                families[first] = LineFamily.Unit;
                Column(1, First(TokenKind.Colon, first, node.EndToken));
                var rate = Child(index, NodeKind.Quantity).FirstToken - 1; // the keyword `at`
                Column(2, Child(index, NodeKind.Labels) is { Kind: NodeKind.Labels } labels ? labels.FirstToken : rate);
                Column(3, First(TokenKind.OpenBrace, first, node.EndToken));
                break;
            case NodeKind.Loom or NodeKind.Bundle or NodeKind.Insert or NodeKind.Feed:
                families[first] = node.Kind switch
                {
                    NodeKind.Loom => LineFamily.Loom,
                    NodeKind.Bundle => LineFamily.Bundle,
                    NodeKind.Insert => LineFamily.Insert,
                    _ => LineFamily.Feed,
                };
                var colon = End(node, TokenKind.Colon);
                Column(1, First(TokenKind.String, first, colon));
                Column(2, colon);
                break;
            case NodeKind.Cable:
                families[first] = LineFamily.Cable;
                Column(1, First(TokenKind.Arrow, first, node.EndToken));
                Column(2, First(TokenKind.Colon, first, node.EndToken));
                break;
            case NodeKind.Follow:
                families[first] = LineFamily.Follow;
                Column(1, Child(index, NodeKind.Path).EndToken); // the keyword `from`
                break;
            case NodeKind.Expect:
                families[first] = LineFamily.Expect;
                break;
            case NodeKind.Reserve:
                families[first] = LineFamily.Reserve;
                Column(1, First(TokenKind.String, first, node.EndToken));
                break;

            case NodeKind.FormatSetting:
                Item(node, LineFamily.FormatItem);
                break;
            case NodeKind.GearSetting:
                Item(node, LineFamily.GearItem);
                break;
            case NodeKind.NetworkSetting:
                Item(node, LineFamily.NetworkItem);
                break;
            case NodeKind.ClockSetting or NodeKind.Attribute or NodeKind.Setting:
                Item(node, LineFamily.Setting);
                Column(1, First(TokenKind.Equal, first + 1, Math.Min(first + 2, node.EndToken)));
                break;

            case NodeKind.Socket or NodeKind.Port or NodeKind.Strip or NodeKind.Bus or NodeKind.Slot:
                Column(1, first + 1);
                Column(2, First(TokenKind.Colon, first, End(node, TokenKind.OpenBrace)));
                Column(3, First(TokenKind.String, first, End(node, TokenKind.OpenBrace)));
                Column(4, First(TokenKind.OpenBrace, first, node.EndToken));
                break;
            case NodeKind.Route:
                var arrow = First(TokenKind.Arrow, first, node.EndToken);
                Column(1, first + 1);
                Column(5, arrow);
                Column(6, PlacesFrom(index, arrow).EndToken); // the keyword that says how they are switched
                break;
            case NodeKind.Clock or NodeKind.Limit or NodeKind.Joins or NodeKind.Way or NodeKind.Time
                or NodeKind.Join or NodeKind.Twin or NodeKind.NetworkLatency or NodeKind.NetworkLink or NodeKind.FormatLatency:
                Column(1, first + 1);
                break;
            case NodeKind.Group:
                Column(1, first + 1);
                Column(2, First(TokenKind.String, first, node.EndToken));
                break;
            case NodeKind.Capacity:
                Column(1, first + 1);
                Column(2, first + 2);
                break;
            case NodeKind.Medium:
                Column(1, first + 1);
                Column(3, Child(index, NodeKind.Name).EndToken is var up && up < node.EndToken ? up : -1);
                break;

            case NodeKind.Fold:
                spaces[first + 1] = 1;
                break;
        }
    }

    private void Item(ShapeNode node, LineFamily family)
    {
        var first = node.FirstToken;
        isItem[first] = true;
        families[first] = family;
        if (tokens[first - 1] != TokenKind.OpenBrace) spaces[first] = 2;
    }

    private void Column(int column, int token)
    {
        if (token > 0) columns[token] = (byte)column;
    }

    private int First(TokenKind kind, int from, int end)
    {
        for (var t = from; t < end; t++)
            if (tokens[t] == kind) return t;
        return -1;
    }

    private int End(ShapeNode node, TokenKind kind) => First(kind, node.FirstToken, node.EndToken) is var token and >= 0 ? token : node.EndToken;

    private ShapeNode Child(int parent, NodeKind kind)
    {
        for (var i = parent + 1; i < nodes[parent].SubtreeEnd; i = nodes[i].SubtreeEnd)
            if (nodes[i].Kind == kind) return nodes[i];
        return default;
    }

    private ShapeNode PlacesFrom(int parent, int token)
    {
        for (var i = parent + 1; i < nodes[parent].SubtreeEnd; i = nodes[i].SubtreeEnd)
            if (nodes[i].Kind == NodeKind.Places && nodes[i].FirstToken > token) return nodes[i];
        return default;
    }
}
