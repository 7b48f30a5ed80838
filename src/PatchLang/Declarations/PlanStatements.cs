using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

// Statements that declare no symbol, as values. Reading gives null if there is a syntax error, which has its own finding.

/// <summary>A statement and the file it is in.</summary>
internal abstract record PlanStatement(PlanFile File, Statement Statement)
{
    public DuringExpression? During { get; init; }

    public Anchor At(TextSpan span) => new(Statement, span);

    private protected static bool IsBroken(Statement statement) => !statement.IsClear;
}

internal sealed record CableStatement(PlanFile File, Statement Statement, PathExpression From, PathExpression To) : PlanStatement(File, Statement)
{
    /// <summary>The medium or the loom.</summary>
    public ReferenceExpression? By { get; private init; }

    public IndexExpression? Ways { get; private init; }

    /// <summary>In metres, above zero.</summary>
    public double? Length { get; private init; }

    public TextSpan LengthSpan { get; private init; }

    /// <summary>Whether it has a length that is not valid.</summary>
    public bool HasWrongLength => LengthSpan.Length > 0 && Length is null;

    public string? Label { get; private init; }

    public static CableStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        var ends = root.Paths();
        if (ends.Length != 2) return null;
        var quantity = root.Child(NodeKind.Quantity);
        return new CableStatement(file, statement, ends[0], ends[1])
        {
            By = root.Child(NodeKind.Reference).AsReference(),
            Ways = root.Child(NodeKind.Index).AsIndex(),
            Length = quantity.AsQuantity() is { Measure: Measure.Length, Value: > 0 } length ? length.Value : null,
            LengthSpan = quantity.Span,
            Label = root.OwnQuoted(),
            During = root.Child(NodeKind.During).AsDuring(),
        };
    }
}

internal sealed record TimekeeperStatement(PlanFile File, Statement Statement, PathExpression Clock, ImmutableArray<PathExpression> Standbys)
    : PlanStatement(File, Statement)
{
    public static TimekeeperStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        var paths = reading.Root.Paths();
        return paths.IsEmpty ? null : new TimekeeperStatement(file, statement, paths[0], paths.RemoveAt(0))
        {
            During = reading.Root.Child(NodeKind.During).AsDuring(),
        };
    }
}

internal sealed record FollowStatement(PlanFile File, Statement Statement, PathExpression Clock, PathExpression Source) : PlanStatement(File, Statement)
{
    public static FollowStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        var paths = reading.Root.Paths();
        return paths.Length != 2 ? null : new FollowStatement(file, statement, paths[0], paths[1])
        {
            During = reading.Root.Child(NodeKind.During).AsDuring(),
        };
    }
}

internal sealed record ReserveStatement(PlanFile File, Statement Statement, PathExpression Point, string Why) : PlanStatement(File, Statement)
{
    public static ReserveStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        return reading.Root.Child(NodeKind.Path).AsPath() is not { } point ? null : new ReserveStatement(file, statement, point, reading.Root.OwnQuoted() ?? "")
        {
            During = reading.Root.Child(NodeKind.During).AsDuring(),
        };
    }
}

/// <summary>An insert: a loop out of a strip and back, with the strip, the send, the hops and the return.</summary>
internal sealed record InsertStatement(PlanFile File, Statement Statement, PathExpression Point, PathExpression Send, ImmutableArray<PathExpression> Hops)
    : PlanStatement(File, Statement)
{
    public string? Label { get; private init; }

    public static InsertStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        var paths = reading.Root.Paths();
        return paths.Length != 2 ? null : new InsertStatement(file, statement, paths[0], paths[1], reading.Root.Child(NodeKind.Hops).Paths())
        {
            Label = reading.Root.OwnQuoted(),
            During = reading.Root.Child(NodeKind.During).AsDuring(),
        };
    }
}

internal enum ExpectSort
{
    Latency,
    Headroom,
    Hears,
    NeverHears,
    SpareIn,
    SpareOut,
}

internal sealed record ExpectStatement(PlanFile File, Statement Statement, PickExpression Subject, ExpectSort Sort, TextSpan Span) : PlanStatement(File, Statement)
{
    /// <summary>What is heard or never heard; for a latency, where it is measured from.</summary>
    public ImmutableArray<PathExpression> Others { get; private init; } = [];

    /// <summary>All that it names.</summary>
    public IEnumerable<PathExpression> Paths => [Subject.Path, .. Subject.At is { } at ? (PathExpression[])[at] : [], .. Others];

    public TokenKind Compare { get; private init; }

    public double Bound { get; private init; }

    public Measure Measure { get; private init; }

    /// <summary>The figure computed for it: over several points and acts, the one closest to violating it. Null if none was computed.</summary>
    public double? Outcome { get; private set; }

    /// <summary>Whether something it depends on is broken, and has a finding of its own.</summary>
    public bool IsLeftOpen { get; set; }

    /// <summary>Records a computed figure.</summary>
    public void ComesTo(double figure)
    {
        var isAtMost = Compare is TokenKind.LessEqual or TokenKind.Less;
        if (Outcome is not { } worst || (isAtMost ? figure > worst : figure < worst)) Outcome = figure;
    }

    public static ExpectStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        if (root.Child(NodeKind.Pick).AsPick() is not { } subject) return null;
        SyntaxNode promise = default;
        foreach (var child in root.Children)
            if (child.Kind is NodeKind.ExpectLatency or NodeKind.ExpectHeadroom or NodeKind.ExpectHears or NodeKind.ExpectSpare) promise = child;
        if (!promise.HasText) return null;
        var sort = promise.Kind switch
        {
            NodeKind.ExpectLatency => ExpectSort.Latency,
            NodeKind.ExpectHeadroom => ExpectSort.Headroom,
            NodeKind.ExpectSpare => promise.Has(TokenKind.In) ? ExpectSort.SpareIn : ExpectSort.SpareOut,
            _ => promise.Has(TokenKind.Never) ? ExpectSort.NeverHears : ExpectSort.Hears,
        };
        var compare = promise.Child(NodeKind.Compare);
        var quantity = promise.Child(NodeKind.Quantity).AsQuantity();
        var number = promise.TokenOf(TokenKind.Number);
        return new ExpectStatement(file, statement, subject, sort, TextSpan.FromTo(subject.Span.Start, promise.Span.End))
        {
            Others = promise.Paths(),
            Compare = compare.HasText ? reading.KindOf(compare.FirstToken) : TokenKind.None,
            Bound = quantity?.Value ?? (number < 0 ? 0 : reading.Number(number)),
            Measure = quantity?.Measure ?? Measure.None,
            During = root.Child(NodeKind.During).AsDuring(),
        };
    }
}

/// <summary>An exception: findings with a code on the next statement are intended.</summary>
internal sealed record AllowStatement(PlanFile File, Statement Statement, string Code, TextSpan CodeSpan, string Reason) : PlanStatement(File, Statement)
{
    public static AllowStatement? Read(PlanFile file, Statement statement)
    {
        if (IsBroken(statement)) return null;
        using var reading = statement.ReadAsMeant();
        var code = reading.Root.TokenOf(TokenKind.Code);
        return code < 0 ? null : new AllowStatement(file, statement, reading.TextOf(code).ToString(), reading.SpanOf(code), reading.Root.OwnQuoted() ?? "");
    }
}
