using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A name that a plan declares: that of a unit, a feed, a kind of gear and so on.</summary>
public abstract class Symbol
{
    private string? name;

    /// <param name="file">The file it is declared in.</param>
    /// <param name="statement">The statement that declares it.</param>
    /// <param name="name">Its name; null to derive it from the text on demand.</param>
    /// <param name="nameSpan">The span of the name in the statement.</param>
    private protected Symbol(PlanFile file, Statement statement, string? name, TextSpan nameSpan)
    {
        File = file;
        Statement = statement;
        NameSpan = nameSpan;
        this.name = name ?? (NormalForm.IsPlain(NameText) ? null : NormalForm.Compose(NameText));
    }

    /// <summary>The file it is declared in.</summary>
    public PlanFile File { get; }

    /// <summary>The statement that declares it.</summary>
    public Statement Statement { get; }

    /// <summary>Its name, without prefix, in normal form C.</summary>
    public string Name => name ??= NameText.ToString();

    /// <summary>The same, without allocating a string.</summary>
    internal ReadOnlySpan<char> NameText => name ?? Statement.Text.Span.Slice(NameSpan.Start, NameSpan.Length);

    /// <summary>The span of the name in the statement.</summary>
    public TextSpan NameSpan { get; }

    /// <summary>The acts in which it exists.</summary>
    public ActSet Acts { get; internal set; }

    /// <summary>The anchor of its name.</summary>
    public Anchor Anchor => new(Statement, NameSpan);

    internal Anchor At(TextSpan span) => new(Statement, span);

    /// <summary>The word for the sort of symbol: "unit", "feed" …</summary>
    public string Sort => this switch
    {
        UnitSymbol => "unit",
        FeedSymbol => "feed",
        BundleSymbol => "bundle",
        GearSymbol { IsCard: true } => "card",
        GearSymbol => "gear",
        FormatSymbol => "format",
        NetworkSymbol => "network",
        LoomSymbol => "loom",
        ActSymbol => "act",
        PrefixSymbol => "prefix of a used file",
        _ => "name",
    };
}

/// <summary>An act: one performance of the day.</summary>
public sealed class ActSymbol : Symbol
{
    internal ActSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan, string? label)
        : base(file, statement, name, nameSpan) => Label = label;

    /// <summary>Its label in the sheets.</summary>
    public string? Label { get; }

    /// <summary>Its number, from 0, in the order of the statements.</summary>
    public int Number { get; internal set; }

    /// <summary>The act it follows, if written.</summary>
    public ActSymbol? After { get; internal set; }

    internal ReferenceExpression? AfterName { get; init; }
}

/// <summary>A prefix with which a file is used.</summary>
public sealed class PrefixSymbol : Symbol
{
    internal PrefixSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan, Scope target)
        : base(file, statement, name, nameSpan) => Target = target;

    internal Scope Target { get; }
}

/// <summary>A loom: a multicore cable.</summary>
public sealed class LoomSymbol : Symbol
{
    internal LoomSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan, string? label, int ways, double? length)
        : base(file, statement, name, nameSpan)
    {
        Label = label;
        Ways = ways;
        Length = length;
    }

    /// <summary>Its label in the sheets.</summary>
    public string? Label { get; }

    /// <summary>The number of its ways.</summary>
    public int Ways { get; }

    /// <summary>Its length in metres, if known.</summary>
    public double? Length { get; }

    /// <summary>Whether it has a length that is not valid.</summary>
    internal bool HasWrongLength { get; init; }
}
