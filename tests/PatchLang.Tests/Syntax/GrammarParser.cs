using System.Collections.Immutable;
using Antlr4.Runtime;
using Antlr4.Runtime.Tree;
using PatchLang.Syntax;
using PatchLang.Syntax.Generated;

namespace PatchLang.Tests.Syntax;

/// <summary>
/// The parser generated from the grammar, used as its makers mean it to be used: with its own tree, its own
/// repairs and a listener. What the compiler makes of a statement has to equal this.
/// </summary>
internal static class GrammarParser
{
    /// <summary>The statements of a sequence of kinds, each with its nodes in preorder, token numbers counted from its first.</summary>
    public static (List<ImmutableArray<ShapeNode>> Statements, List<(int Token, NodeKind Rule)> Errors) Parse(IEnumerable<TokenKind> kinds)
    {
        // The parser's repairs make tokens, and ask those that are there where they come from.
        var nowhere = Tuple.Create<ITokenSource, ICharStream?>(new ListTokenSource([]), null);
        var tokens = new ListTokenSource([.. kinds.Select(k => new CommonToken(nowhere, (int)k, TokenConstants.DefaultChannel, -1, -1)), new CommonToken(TokenConstants.EOF)]);
        var parser = new PatchParser(new CommonTokenStream(tokens), TextWriter.Null, TextWriter.Null);
        var errors = new ErrorList();
        parser.AllowRepairs();
        parser.RemoveErrorListeners();
        parser.AddErrorListener(errors);
        var plan = parser.plan();
        return ([.. plan.statement().Select(s => Nodes((ParserRuleContext)s.GetChild(0)))], errors.Found);
    }

    private static ImmutableArray<ShapeNode> Nodes(ParserRuleContext statement)
    {
        var nodes = new List<ShapeNode>();
        Add(statement);
        return [.. nodes];

        void Add(ParserRuleContext rule)
        {
            var at = nodes.Count;
            var first = rule.Start.TokenIndex - statement.Start.TokenIndex;
            var end = rule.Stop is null ? first : Math.Max(first, rule.Stop.TokenIndex + 1 - statement.Start.TokenIndex);
            nodes.Add(default);
            foreach (var child in rule.children ?? [])
                if (child is ParserRuleContext inner) Add(inner);
            nodes[at] = new ShapeNode((NodeKind)rule.RuleIndex, first, end, nodes.Count);
        }
    }

    private sealed class ErrorList : BaseErrorListener
    {
        public List<(int Token, NodeKind Rule)> Found { get; } = [];

        public override void SyntaxError(TextWriter output, IRecognizer recognizer, IToken offendingSymbol, int line, int charPositionInLine, string msg, RecognitionException e) =>
            Found.Add((offendingSymbol.TokenIndex, (NodeKind)((Parser)recognizer).Context.RuleIndex));
    }
}
