using System.Collections.Immutable;
using Antlr4.Runtime;
using Antlr4.Runtime.Misc;

namespace PatchLang.Syntax;

/// <summary>
/// What happens where the tokens do not fit the grammar. The repairs are ANTLR's own: a token is taken out or
/// thought in, or tokens are skipped up to one that fits. Says nothing; keeps the places.
/// </summary>
/// <remarks>
/// Most statements are right, so a first run is strict: it asks the grammar nothing and gives up at the first
/// mistake, with <see cref="ShapeIsBroken"/>. Only broken statements are then read with repairs.
/// </remarks>
internal sealed class ShapeErrorStrategy : DefaultErrorStrategy
{
    private readonly ImmutableArray<ShapeError>.Builder errors = ImmutableArray.CreateBuilder<ShapeError>();
    private readonly List<int> statesSinceToken = [];

    public bool IsStrict { get; set; }

    /// <summary>Tells which node is being read.</summary>
    public Func<int> OpenNode { get; set; } = () => 0;

    public ImmutableArray<ShapeError> TakeErrors() => errors.DrainToImmutable();

    /// <summary>A token was taken: what was asked for in its place no longer matters.</summary>
    public void TokenTaken(Parser parser)
    {
        statesSinceToken.Clear();
        if (!InErrorRecoveryMode(parser) || errors.Count == 0) return;
        var last = errors[^1];
        errors[^1] = last with { TokenCount = last.TokenCount + 1 };
    }

    /// <summary>The parser asks for a token at its present state; if it does not fit, this is part of what could have stood there.</summary>
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

    /// <summary>Whether a token is missing here. As ANTLR's own, which looks through all rules around: that is asked only where what stands inside of this one does not tell.</summary>
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
        var expected = UInt128.Zero; // a bit for each kind
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

/// <summary>Ends a strict run. There is only one: nobody asks where it came from.</summary>
internal sealed class ShapeIsBroken : Exception
{
    public static readonly ShapeIsBroken Instance = new();

    private ShapeIsBroken()
    {
    }
}
