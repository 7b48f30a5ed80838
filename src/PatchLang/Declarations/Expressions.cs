using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

// The contents of statements, as values that no longer need the text. Spans count from the statement's start.

/// <summary>One entry of an index: numbers from–to, or a name. A number that is not whole, or far too large, is −1.</summary>
internal readonly record struct ItemExpression(int From, int To, string? Name, TextSpan Span)
{
    public bool IsName => Name is not null;
}

/// <summary>An index: <c>[1..8, 12]</c>, <c>[L, R]</c>.</summary>
internal sealed record IndexExpression(ImmutableArray<ItemExpression> Items, TextSpan Span)
{
    private Elements? declared;

    /// <summary>The elements it declares, if it is in a declaration.</summary>
    public Elements Declared => declared ??= Indexes.Declare(this);
}

/// <summary>One step of a path: a name with an optional index.</summary>
internal readonly record struct StepExpression(string Name, TextSpan NameSpan, IndexExpression? Index);

/// <summary>A name with an optional prefix: <c>crew.Desk48</c>.</summary>
internal readonly record struct ReferenceExpression(string? Prefix, string Name, TextSpan Span)
{
    public string Written => Prefix is null ? Name : $"{Prefix}.{Name}";
}

/// <summary><c>during a, b</c> or <c>during any except a</c>.</summary>
internal sealed record DuringExpression(bool IsExcept, ImmutableArray<ReferenceExpression> Acts, TextSpan Span);

/// <summary>A feed, bundle or socket, optionally picked up at a point on its way: <c>lead at rack.net</c>.</summary>
internal readonly record struct PickExpression(PathExpression Path, PathExpression? At, TextSpan Span);

/// <summary>A pick and its tap.</summary>
internal readonly record struct TappedExpression(PickExpression Pick, Tap Tap, TextSpan TapSpan);

/// <summary>Where a feed starts: usually just a path, else a pick, an either or a sum.</summary>
internal abstract record OriginExpression(TextSpan Span)
{
    /// <summary>What it picks, if that is a single thing; null for an either and a sum.</summary>
    public virtual TappedExpression? Tapped => null;
}

/// <summary>A pick that is more than a path: it has a tap, or a point where it is picked up.</summary>
internal sealed record PickOrigin(TappedExpression Pick, TextSpan Span) : OriginExpression(Span)
{
    public override TappedExpression? Tapped => Pick;
}

internal sealed record EitherOrigin(ImmutableArray<TappedExpression> Choices, TextSpan Span) : OriginExpression(Span);

internal sealed record SumOrigin(ImmutableArray<MemberExpression> Members, TextSpan Span) : OriginExpression(Span);

/// <summary>One member of a sum; either a pick or an either.</summary>
internal sealed record MemberExpression(TextSpan Span)
{
    public TappedExpression? Tapped { get; init; }

    public EitherOrigin? Either { get; init; }

    public PickExpression? Except { get; init; }

    public IndexExpression? Fold { get; init; }

    /// <summary>The gain in dB, if written.</summary>
    public double? Gain { get; init; }
}

/// <summary>Reads expressions from the syntax. Broken pieces give null, or are left out.</summary>
internal static class ExpressionReader
{
    private static readonly object NoPath = new();

    /// <param name="node">The path.</param>
    /// <param name="scope">If given, units are looked up in it right away: most paths
    /// begin with a unit's name, which then needs no string of its own.</param>
    public static PathExpression? AsPath(this SyntaxNode node, Scope? scope = null)
    {
        if (!node.HasText) return null;
        var form = (PathForm)(node.Memo ??= PathForm.Of(node));
        return form.IsWhole ? form.Read(node.Reading, scope) : null;
    }

    /// <summary>The well-formed paths directly below a node, shared by all statements of the shape.</summary>
    public static PathForm[] PathForms(this SyntaxNode node) => (PathForm[])(node.Memo ??= PathForm.Below(node));

    public static ImmutableArray<PathExpression> Paths(this SyntaxNode node, Scope? scope = null)
    {
        if (!node.Exists) return [];
        var forms = node.PathForms();
        var paths = new PathExpression[forms.Length];
        for (var i = 0; i < paths.Length; i++) paths[i] = forms[i].Read(node.Reading, scope);
        return ImmutableCollectionsMarshal.AsImmutableArray(paths);
    }

    /// <summary>An immutable array of the first items of an array, without copying if that is all of them.</summary>
    public static ImmutableArray<T> Made<T>(T[] items, int count) =>
        count == items.Length ? ImmutableCollectionsMarshal.AsImmutableArray(items) : ImmutableArray.Create(items, 0, count);

    public static IndexExpression? AsIndex(this SyntaxNode node)
    {
        if (!node.HasText) return null;
        var items = new ItemExpression[node.ChildrenOf(NodeKind.Item).Count];
        var count = 0;
        foreach (var item in node.ChildrenOf(NodeKind.Item))
        {
            var number = item.TokenOf(TokenKind.Number);
            if (number < 0)
            {
                items[count++] = new ItemExpression(0, 0, NamePool.Get(item.Child(NodeKind.Name).Text), item.Span);
                continue;
            }
            var from = item.Reading.WholeNumber(number) ?? -1;
            var dots = item.TokenOf(TokenKind.Dots);
            var to = dots < 0 ? from : item.Reading.WholeNumber(dots + 1) ?? -1;
            items[count++] = new ItemExpression(from, to, null, item.Span);
        }
        return new IndexExpression(Made(items, count), node.Span);
    }

    public static ReferenceExpression? AsReference(this SyntaxNode node)
    {
        if (!node.HasText || IsTorn(node)) return null;
        string? prefix = null;
        string? name = null;
        foreach (var part in node.ChildrenOf(NodeKind.Name))
        {
            prefix = name;
            name = NamePool.Get(part.Text);
        }
        return name is null ? null : new ReferenceExpression(prefix, name, node.Span);
    }

    /// <summary>Whether a sign follows a name without a gap, as in <c>aes-67</c>: the unparsed rest belongs to the name.</summary>
    private static bool IsTorn(SyntaxNode name)
    {
        foreach (var error in name.Reading.Shape.Errors)
            if (error.Token == name.EndToken && error.Token < name.Reading.TokenCount && name.Reading.KindOf(error.Token) is TokenKind.Minus or TokenKind.Plus)
                return name.Reading.SpanOf(error.Token).Start == name.Span.End;
        return false;
    }

    public static DuringExpression? AsDuring(this SyntaxNode node)
    {
        if (!node.HasText) return null;
        var acts = new ReferenceExpression[node.ChildrenOf(NodeKind.Reference).Count];
        var count = 0;
        foreach (var child in node.ChildrenOf(NodeKind.Reference))
            if (child.AsReference() is { } act) acts[count++] = act;
        return new DuringExpression(node.Has(TokenKind.Any), Made(acts, count), node.Span);
    }

    /// <summary>The span of a label in the statement of a unit or feed, by its index. Not stored, since only findings need it.</summary>
    public static TextSpan LabelSpan(Statement statement, int label)
    {
        using var reading = statement.ReadAsMeant();
        var node = reading.Root.Child(NodeKind.Labels);
        for (var token = node.FirstToken; token < node.EndToken; token++)
            if (reading.KindOf(token) == TokenKind.String && label-- == 0) return reading.SpanOf(token);
        throw new ArgumentOutOfRangeException(nameof(label));
    }

    /// <summary>The counts that gear is made with; −1 for one that is not whole, or far too large.</summary>
    public static ImmutableArray<int> AsArguments(this SyntaxNode node)
    {
        if (!node.HasText) return [];
        var arguments = ImmutableArray.CreateBuilder<int>(2);
        for (var token = node.FirstToken; token < node.EndToken; token++)
            if (node.Reading.KindOf(token) == TokenKind.Number) arguments.Add(node.Reading.WholeNumber(token) ?? -1);
        return arguments.DrainToImmutable();
    }

    public static PickExpression? AsPick(this SyntaxNode node, Scope? scope = null)
    {
        if (!node.Exists) return null;
        var forms = node.PathForms();
        if (forms.Length == 0) return null;
        return new PickExpression(forms[0].Read(node.Reading, scope), forms.Length > 1 ? forms[1].Read(node.Reading, scope) : null, node.Span);
    }

    public static OriginExpression? AsOrigin(this SyntaxNode node, Scope? scope = null)
    {
        if (!node.HasText) return null;
        // It is usually just a path, which is known from the shape.
        if ((node.Memo ??= (object?)PathForm.AllOf(node) ?? NoPath) is PathForm form) return form.Read(node.Reading, scope);
        foreach (var child in node.Children)
            switch (child.Kind)
            {
                case NodeKind.Sum when child.HasText:
                    var members = ImmutableArray.CreateBuilder<MemberExpression>();
                    foreach (var member in child.ChildrenOf(NodeKind.Member))
                        if (AsMember(member) is { } read) members.Add(read);
                    return new SumOrigin(members.DrainToImmutable(), child.Span);
                case NodeKind.Either when child.HasText:
                    return AsEither(child);
            }
        return AsTapped(node, scope) is { } tapped ? new PickOrigin(tapped, node.Span) : null;
    }

    private static TappedExpression? AsTapped(SyntaxNode node, Scope? scope = null)
    {
        PickExpression? pick = null;
        SyntaxNode tap = default;
        foreach (var child in node.Children)
            if (child.Kind == NodeKind.Pick) pick ??= child.AsPick(scope);
            else if (child.Kind == NodeKind.Tap) tap = child;
        return pick is { } picked ? new TappedExpression(picked, Taps.Of(tap), tap.Span) : null;
    }

    private static EitherOrigin AsEither(SyntaxNode node)
    {
        var choices = ImmutableArray.CreateBuilder<TappedExpression>(2);
        foreach (var choice in node.ChildrenOf(NodeKind.Choice))
            if (AsTapped(choice) is { } tapped) choices.Add(tapped);
        return new EitherOrigin(choices.DrainToImmutable(), node.Span);
    }

    private static MemberExpression? AsMember(SyntaxNode node)
    {
        if (!node.HasText) return null;
        var member = new MemberExpression(node.Span)
        {
            Fold = node.Child(NodeKind.Fold).Child(NodeKind.Index).AsIndex(),
            Except = node.Child(NodeKind.Except).Child(NodeKind.Pick).AsPick(),
            Gain = node.Child(NodeKind.Quantity).AsQuantity() is { Measure: Measure.Gain } gain ? gain.Value : null,
        };
        if (node.Child(NodeKind.Either) is { HasText: true } either) return member with { Either = AsEither(either) };
        return AsTapped(node) is { } tapped ? member with { Tapped = tapped } : null;
    }
}
