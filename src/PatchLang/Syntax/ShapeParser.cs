using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Antlr4.Runtime;
using PatchLang.Syntax.Generated;

namespace PatchLang.Syntax;

/// <summary>Parses a statement's sequence of token kinds into its shape, with the generated parser. Not thread-safe.</summary>
internal sealed class ShapeParser
{
    private readonly ShapeTokens tokens = new();
    private readonly ShapeErrorStrategy strategy = new();
    private ShapeBuilder? builder;

    // Broken statements tend to come in runs, and aborting a strict run costs as
    // much as recovery: after one, skip the strict run until a statement is correct.
    private bool wasBroken;

    /// <summary>Parses a statement of at most <see cref="Statement.MostTokens"/> tokens.</summary>
    public Shape Parse(ReadOnlySpan<TokenKind> kinds)
    {
        var sequence = ImmutableArray.Create(kinds);
        if (kinds.IsEmpty || !kinds[0].IsOpener())
            return new Shape(sequence, [new ShapeNode(NodeKind.Statement, 0, kinds.Length, 1)], []);

        // Created on first use: the generated parser's one-time setup costs more than parsing most plans.
        if (builder is null)
        {
            builder = new ShapeBuilder(tokens) { ErrorHandler = strategy, BuildParseTree = false };
            builder.RemoveErrorListeners();
            strategy.OpenNode = () => builder.OpenNode;
        }
        if (wasBroken || !IsRightAsItIs(kinds))
        {
            builder.AllowRepairs();
            Run(kinds, isStrict: false);
        }
        var errors = strategy.TakeErrors();
        wasBroken = !errors.IsEmpty;
        return new Shape(sequence, builder.TakeNodes(kinds.Length), errors);
    }

    private bool IsRightAsItIs(ReadOnlySpan<TokenKind> kinds)
    {
        try
        {
            Run(kinds, isStrict: true);
            return true;
        }
        catch (ShapeIsBroken)
        {
            return false;
        }
    }

    private void Run(ReadOnlySpan<TokenKind> kinds, bool isStrict)
    {
        tokens.Load(kinds);
        strategy.IsStrict = isStrict;
        builder!.Reset();
        builder.plan();
    }

    /// <summary>The generated parser, recording where its rules begin and end instead of building ANTLR's tree.</summary>
    private sealed class ShapeBuilder(ShapeTokens tokens) : PatchParser(tokens, TextWriter.Null, TextWriter.Null)
    {
        private readonly List<ShapeNode> nodes = [];
        private readonly Stack<int> open = [];

        /// <summary>The index of the innermost open node; 0, the statement, if none is open.</summary>
        public int OpenNode => open.TryPeek(out var node) ? node : 0;

        /// <summary>The nodes of the statement. The root covers all tokens, including those skipped at the end.</summary>
        public ImmutableArray<ShapeNode> TakeNodes(int tokenCount)
        {
            nodes[0] = nodes[0] with { FirstToken = 0, EndToken = tokenCount };
            return [.. nodes];
        }

        public override void Reset()
        {
            base.Reset();
            // The base class's constructor calls this before the fields are set.
            nodes?.Clear();
            open?.Clear();
        }

        public override void EnterRule(ParserRuleContext localctx, int state, int ruleIndex)
        {
            State = state;
            Context = localctx;
            if (ruleIndex <= RULE_statement) return;
            open.Push(nodes.Count);
            nodes.Add(new ShapeNode((NodeKind)ruleIndex, tokens.Index, 0, 0));
        }

        public override void ExitRule()
        {
            if (Context.RuleIndex > RULE_statement)
            {
                ref var node = ref CollectionsMarshal.AsSpan(nodes)[open.Pop()];
                node = node with { EndToken = tokens.Index, SubtreeEnd = nodes.Count };
            }
            State = Context.invokingState;
            Context = (ParserRuleContext?)Context.Parent;
        }

        public override IToken Match(int ttype)
        {
            if (tokens.LA(1) != ttype) return ErrorHandler.RecoverInline(this);
            ErrorHandler.ReportMatch(this);
            return Consume();
        }

        public override IToken Consume()
        {
            var token = tokens.LT(1);
            if (token.Type == TokenConstants.EOF) return token;
            tokens.Consume();
            ((ShapeErrorStrategy)ErrorHandler).TokenTaken(this);
            return token;
        }
    }
}
