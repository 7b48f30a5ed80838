using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A path: <c>desk.expansion.net[1..8]</c>. As an origin, a pick of what it names and no more.</summary>
/// <remarks>
/// There are two in most feeds, and nearly all are of one or two names without an index. Of those the names alone are kept: where
/// each stands follows from where the path begins and ends. Of any other all steps are.
/// </remarks>
internal sealed record PathExpression : OriginExpression
{
    // The unit, once it is known; else, where the steps are not kept, the first name.
    private object? first;

    // All steps, or the second of two names; null of one name.
    private readonly object? behind;

    public PathExpression(StepExpression[] steps, TextSpan span, UnitSymbol? unit = null) : base(span) => (first, behind) = (unit, steps);

    private PathExpression(object first, string? second, TextSpan span) : base(span) => (this.first, behind) = (first, second);

    /// <summary>A path of one name or two, which stand at its beginning and at its end, and are written as long as they are.</summary>
    /// <param name="first">The first name.</param>
    /// <param name="unit">The one unit that it stands for, if that is known.</param>
    /// <param name="second">The second name, if there is one.</param>
    /// <param name="span">Where the path stands.</param>
    public static PathExpression Plain(string first, UnitSymbol? unit, string? second, TextSpan span) => new((object?)unit ?? first, second, span);

    /// <summary>
    /// The one unit that its first name stands for, once that is known; null if it stands for something else. Units belong
    /// to the foundation, and an expression is read anew for another: so it stays true.
    /// </summary>
    public UnitSymbol? Unit
    {
        get => first as UnitSymbol;
        set => first = value ?? first;
    }

    /// <summary>Its steps, in order; one at least.</summary>
    public StepList Steps => new(this);

    /// <inheritdoc/>
    public override TappedExpression? Tapped => new TappedExpression(new PickExpression(this, null, Span), Tap.Unstated, default);

    /// <summary>The names of its steps, with dots between.</summary>
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
