using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A path: <c>desk.expansion.net[1..8]</c>. It is also an origin: a pick of just what it names.</summary>
/// <remarks>
/// Most feeds have two, and nearly all consist of one or two names without an index. To save memory, only the names of those are
/// stored: their spans follow from the span of the path. Other paths store all steps.
/// </remarks>
internal sealed record PathExpression : OriginExpression
{
    // The unit, once it is known; otherwise the first name, unless all steps are stored.
    private object? first;

    // All steps, or the second of two names; null for a single name.
    private readonly object? behind;

    public PathExpression(StepExpression[] steps, TextSpan span, UnitSymbol? unit = null) : base(span) => (first, behind) = (unit, steps);

    private PathExpression(object first, string? second, TextSpan span) : base(span) => (this.first, behind) = (first, second);

    /// <summary>Creates a path of one or two names, the first at its start and the second at its end, each as long as it is written.</summary>
    /// <param name="first">The first name.</param>
    /// <param name="unit">The only unit that the first name stands for, if known.</param>
    /// <param name="second">The second name, if any.</param>
    /// <param name="span">The span of the path.</param>
    public static PathExpression Plain(string first, UnitSymbol? unit, string? second, TextSpan span) => new((object?)unit ?? first, second, span);

    /// <summary>
    /// The only unit that its first name stands for, once known; null if it stands for something else. It can't become stale: units
    /// belong to the foundation, and expressions are read again for a new foundation.
    /// </summary>
    public UnitSymbol? Unit
    {
        get => first as UnitSymbol;
        set => first = value ?? first;
    }

    /// <summary>Its steps, in order; at least one.</summary>
    public StepList Steps => new(this);

    /// <inheritdoc/>
    public override TappedExpression? Tapped => new TappedExpression(new PickExpression(this, null, Span), Tap.Unstated, default);

    /// <summary>The names of its steps, joined by dots.</summary>
    public string Names => string.Join('.', Enumerable.Range(0, Steps.Length).Select(i => Steps[i].Name));

    private string FirstName => first is UnitSymbol unit ? unit.Name : (string)first!;

    /// <summary>The steps of a path.</summary>
    internal readonly struct StepList(PathExpression path)
    {
        public int Length => path.behind is StepExpression[] all ? all.Length : path.behind is null ? 1 : 2;

        public StepExpression this[int step]
        {
            get
            {
                if (path.behind is StepExpression[] all) return all[step];
                var name = step == 0 ? path.FirstName : step == 1 && path.behind is string second ? second : throw new ArgumentOutOfRangeException(nameof(step));
                return new StepExpression(name, new TextSpan(step == 0 ? path.Span.Start : path.Span.End - name.Length, name.Length), null);
            }
        }
    }
}
