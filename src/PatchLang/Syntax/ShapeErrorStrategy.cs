using System.Collections.Immutable;
using Antlr4.Runtime;
using Antlr4.Runtime.Misc;

namespace PatchLang.Syntax;

/// <summary>
/// Error recovery for the generated parser. The repairs are ANTLR's own: it deletes or conjures up a single token, or skips tokens
/// up to one that fits. Errors are recorded, not printed.
/// </summary>
/// <remarks>
/// Most statements are correct, so the first run is strict: it does no lookahead in the grammar's network and gives up at the first
/// error, with <see cref="ShapeIsBroken"/>. Only broken statements are then parsed again with recovery.
/// </remarks>
internal sealed class ShapeErrorStrategy : DefaultErrorStrategy
{
    private readonly ImmutableArray<ShapeError>.Builder errors = ImmutableArray.CreateBuilder<ShapeError>();
    private readonly List<int> statesSinceToken = [];

    public bool IsStrict { get; set; }

    /// <summary>Gives the index of the node that is being parsed.</summary>
    public Func<int> OpenNode { get; set; } = () => 0;

    public ImmutableArray<ShapeError> TakeErrors() => errors.DrainToImmutable();

    /// <summary>Called when a token is consumed: what was expected in its place no longer matters.</summary>
    public void TokenTaken(Parser parser)
    {
        statesSinceToken.Clear();
        if (!InErrorRecoveryMode(parser) || errors.Count == 0) return;
        var last = errors[^1];
        errors[^1] = last with { TokenCount = last.TokenCount + 1 };
    }

    /// <summary>
    /// Called when the parser tests the next token in its present state. If the
    /// token does not fit, this state's tokens belong to what was expected.
    /// </summary>
    public void Asked(Parser parser) => statesSinceToken.Add(parser.State);

    public override void Reset(Parser recognizer)
    {
        statesSinceToken.Clear();
        errors.Clear();
        base.Reset(recognizer);
    }

    public override void Sync(Parser recognizer)
    {
        if (IsStrict) return;
        Asked(recognizer);
        base.Sync(recognizer);
    }

    public override IToken RecoverInline(Parser recognizer)
    {
        if (IsStrict) throw ShapeIsBroken.Instance;
        Asked(recognizer);
        return base.RecoverInline(recognizer);
    }

    public override void Recover(Parser recognizer, RecognitionException e)
    {
        if (IsStrict) throw ShapeIsBroken.Instance;
        base.Recover(recognizer, e);
    }

    public override void ReportError(Parser recognizer, RecognitionException e)
    {
        if (IsStrict || InErrorRecoveryMode(recognizer)) return;
        Report(recognizer);
    }

    /// <summary>
    /// Whether a token is missing here. Same result as ANTLR's own test, whose costly search through all enclosing rules runs only if this rule
    /// alone does not decide it.
    /// </summary>
    protected override bool SingleTokenInsertion(Parser recognizer)
    {
        var next = recognizer.Atn.states[recognizer.State].Transition(0).target;
        var inside = recognizer.Atn.NextTokens(next);
        if (!inside.Contains(recognizer.InputStream.LA(1))) return inside.Contains(TokenConstants.EPSILON) && base.SingleTokenInsertion(recognizer);
        ReportMissingToken(recognizer);
        return true;
    }

    protected override void ReportUnwantedToken(Parser recognizer)
    {
        if (InErrorRecoveryMode(recognizer)) return;
        Report(recognizer);
    }

    protected override void ReportMissingToken(Parser recognizer)
    {
        if (InErrorRecoveryMode(recognizer)) return;
        Report(recognizer);
    }

    protected override IToken GetMissingSymbol(Parser recognizer)
    {
        var expected = recognizer.GetExpectedTokens();
        return ShapeTokens.TokenOf(expected.IsNil ? TokenConstants.InvalidType : expected.MinElement);
    }

    private void Report(Parser parser)
    {
        BeginErrorCondition(parser);
        var expected = UInt128.Zero; // one bit per token kind
        foreach (var state in statesSinceToken) Add(parser.Atn.NextTokens(parser.Atn.states[state]));
        Add(parser.GetExpectedTokens());
        errors.Add(new ShapeError(parser.InputStream.Index, 0, (NodeKind)parser.Context.RuleIndex, OpenNode(), KindsIn(expected)));

        void Add(IntervalSet set)
        {
            foreach (var interval in set.GetIntervals())
                for (var kind = interval.a; kind <= interval.b; kind++)
                    if (kind >= 0) expected |= UInt128.One << kind;
                    else if (kind == TokenConstants.EOF) expected |= UInt128.One << (int)TokenKind.None;
        }
    }

    private static ImmutableArray<TokenKind> KindsIn(UInt128 bits)
    {
        var kinds = ImmutableArray.CreateBuilder<TokenKind>((int)UInt128.PopCount(bits));
        for (; bits != UInt128.Zero; bits &= bits - UInt128.One) kinds.Add((TokenKind)(int)UInt128.TrailingZeroCount(bits));
        return kinds.MoveToImmutable();
    }
}

/// <summary>Aborts a strict run. A single instance serves all, since nobody looks at its stack trace.</summary>
internal sealed class ShapeIsBroken : Exception
{
    public static readonly ShapeIsBroken Instance = new();

    private ShapeIsBroken()
    {
    }
}
