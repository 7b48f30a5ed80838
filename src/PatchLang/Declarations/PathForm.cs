using PatchLang.Syntax;

namespace PatchLang.Declarations;

/// <summary>
/// Where a path's steps stand among the tokens of every statement of one shape. Paths are most of a plan: what the shape
/// says of them is found out once, and a statement is asked for its names alone.
/// </summary>
internal sealed class PathForm
{
    private readonly int first;
    private readonly int end;
    private readonly Step[] steps;

    // One name or two, without an index.
    private readonly bool isPlain;

    private PathForm(SyntaxNode path, Step[] steps)
    {
        (first, end, this.steps) = (path.FirstToken, path.EndToken, steps);
        isPlain = steps.Length <= 2 && Array.TrueForAll(steps, s => s.Index < 0);
        IsWhole = steps.Length > 0 && Array.TrueForAll(steps, s => s.FirstToken < s.EndToken);
    }

    /// <param name="FirstToken">The first token of its name.</param>
    /// <param name="EndToken">The token behind the name's last.</param>
    /// <param name="Index">The node of its index; −1 if it has none.</param>
    private readonly record struct Step(int FirstToken, int EndToken, int Index);

    /// <summary>Whether it has a step, and each step a name: in broken text one may be missing.</summary>
    public bool IsWhole { get; }

    /// <summary>The whole paths right below a node.</summary>
    public static PathForm[] Below(SyntaxNode node)
    {
        var found = new List<PathForm>(2);
        foreach (var child in node.ChildrenOf(NodeKind.Path))
            if (child.HasText && Of(child) is { IsWhole: true } whole) found.Add(whole);
        return [.. found];
    }

    /// <summary>The whole path that an origin is and nothing more; null if it is anything else.</summary>
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

    /// <summary>The path as a statement has it.</summary>
    /// <param name="reading">The statement.</param>
    /// <param name="scope">If given, units are looked up in it at once: their names stand in most paths, and are read nowhere else.</param>
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
