using PatchLang.Syntax;

namespace PatchLang.Declarations;

/// <summary>
/// The token positions of a path's steps, which are the same in every statement of a shape. Most of a plan is paths: their
/// structure is analysed once per shape, and each statement only supplies the names.
/// </summary>
internal sealed class PathForm
{
    private readonly int first;
    private readonly int end;
    private readonly Step[] steps;

    // One or two names without an index.
    private readonly bool isPlain;

    private PathForm(SyntaxNode path, Step[] steps)
    {
        (first, end, this.steps) = (path.FirstToken, path.EndToken, steps);
        isPlain = steps.Length <= 2 && Array.TrueForAll(steps, s => s.Index < 0);
        IsWhole = steps.Length > 0 && Array.TrueForAll(steps, s => s.FirstToken < s.EndToken);
    }

    /// <param name="FirstToken">The first token of its name.</param>
    /// <param name="EndToken">The index after the name's last token.</param>
    /// <param name="Index">The node of its index; −1 if there is none.</param>
    private readonly record struct Step(int FirstToken, int EndToken, int Index);

    /// <summary>Whether it has steps, each with a name: in broken text one may be missing.</summary>
    public bool IsWhole { get; }

    /// <summary>The well-formed paths directly below a node.</summary>
    public static PathForm[] Below(SyntaxNode node)
    {
        var found = new List<PathForm>(2);
        foreach (var child in node.ChildrenOf(NodeKind.Path))
            if (child.HasText && Of(child) is { IsWhole: true } whole) found.Add(whole);
        return [.. found];
    }

    /// <summary>The path that makes up an entire origin; null if the origin is anything else.</summary>
    public static PathForm? AllOf(SyntaxNode origin)
    {
        var path = origin.Child(NodeKind.Pick).Child(NodeKind.Path);
        return path.Exists && path.FirstToken == origin.FirstToken && path.EndToken == origin.EndToken && Of(path) is { IsWhole: true } whole ? whole : null;
    }

    public static PathForm Of(SyntaxNode path)
    {
        var found = new List<Step>(2);
        foreach (var step in path.ChildrenOf(NodeKind.Step))
        {
            var name = step.Child(NodeKind.Name);
            var index = step.Child(NodeKind.Index);
            found.Add(new Step(name.Exists ? name.FirstToken : 0, name.Exists ? name.EndToken : 0, index.Exists ? index.Index : -1));
        }
        return new PathForm(path, [.. found]);
    }

    /// <summary>Reads the path in a statement.</summary>
    /// <param name="reading">The statement.</param>
    /// <param name="scope">If given, units are looked up in it right away: most paths
    /// begin with a unit's name, which then needs no string of its own.</param>
    public PathExpression Read(StatementReading reading, Scope? scope)
    {
        var text = TextOf(0);
        var unit = scope?.UnitOf(text);
        var name = unit is null ? NamePool.Get(text) : unit.Name;
        if (isPlain && name.Length == text.Length)
        {
            if (steps.Length == 1) return PathExpression.Plain(name, unit, null, reading.SpanOf(first, end));
            text = TextOf(1);
            if (NamePool.Get(text) is var second && second.Length == text.Length) return PathExpression.Plain(name, unit, second, reading.SpanOf(first, end));
        }
        var read = new StepExpression[steps.Length];
        for (var i = 0; i < steps.Length; i++)
        {
            ref readonly var step = ref steps[i];
            var span = reading.SpanOf(step.FirstToken, step.EndToken);
            read[i] = new StepExpression(
                i == 0 ? name : NamePool.Get(reading.TextOf(span)), span, step.Index < 0 ? null : new SyntaxNode(reading, step.Index).AsIndex());
        }
        return new PathExpression(read, reading.SpanOf(first, end), unit);

        ReadOnlySpan<char> TextOf(int step) => reading.TextOf(reading.SpanOf(steps[step].FirstToken, steps[step].EndToken));
    }
}
