using PatchLang.Syntax;

namespace PatchLang.Writing;

/// <summary>A statement that declares a name which other statements can refer to: a unit, a feed, a bundle.</summary>
/// <typeparam name="TSelf">The statement itself.</typeparam>
public abstract class NamedStatement<TSelf> : ActStatement<TSelf>
    where TSelf : NamedStatement<TSelf>
{
    private protected NamedStatement(NodeKind kind, PlanPath path, string opening, int parts, int bracesAt = -1)
        : base(kind, opening, parts, bracesAt) => Path = path;

    /// <summary>Its name, for use in other statements.</summary>
    public PlanPath Path { get; }

    /// <inheritdoc cref="PlanPath.this[string]"/>
    public PlanPath this[string name] => Path[name];

    /// <inheritdoc cref="PlanPath.this[ReadOnlySpan{Which}]"/>
    public PlanPath this[params ReadOnlySpan<Which> which] => Path[which];

    /// <inheritdoc cref="PlanPath.Named"/>
    public PlanPath Named(params ReadOnlySpan<string> names) => Path.Named(names);

    /// <summary>The statement can be used as its name.</summary>
    public static implicit operator PlanPath(NamedStatement<TSelf> statement) => (statement ?? throw new PlanWritingException("a name is missing")).Path;

    /// <summary>The statement can be used as its name.</summary>
    public static implicit operator PlanOrigin(NamedStatement<TSelf> statement) => (PlanPath)statement;
}

/// <summary>A statement that declares signals: a feed, a bundle.</summary>
/// <typeparam name="TSelf">The statement itself.</typeparam>
public abstract class SoundStatement<TSelf> : NamedStatement<TSelf>
    where TSelf : SoundStatement<TSelf>
{
    private protected SoundStatement(NodeKind kind, PlanPath path, string opening, int parts, int bracesAt = -1)
        : base(kind, path, opening, parts, bracesAt)
    {
    }

    /// <inheritdoc cref="PlanPath.At"/>
    public PlanOrigin At(PlanPath place) => Path.At(place);

    /// <inheritdoc cref="PlanPath.Before"/>
    public PlanOrigin Before(string what) => Path.Before(what);

    /// <inheritdoc cref="PlanPath.After"/>
    public PlanOrigin After(string what) => Path.After(what);

    /// <inheritdoc cref="PlanPath.Except"/>
    public PlanOrigin Except(PlanOrigin left) => Path.Except(left);

    /// <inheritdoc cref="PlanPath.Onto"/>
    public PlanOrigin Onto(params ReadOnlySpan<string> sides) => Path.Onto(sides);
}
