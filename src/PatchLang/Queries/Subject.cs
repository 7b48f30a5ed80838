using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>What a name in a plan stands for.</summary>
/// <param name="Name">The name.</param>
public abstract record Subject(string Name);

/// <summary>A declaration; several where the acts differ.</summary>
public sealed record SymbolSubject(ImmutableArray<Symbol> Symbols) : Subject(Symbols[0].Name)
{
    /// <inheritdoc/>
    public bool Equals(SymbolSubject? other) => other is not null && Symbols.Any(s => other.Symbols.Contains(s));

    /// <inheritdoc/>
    public override int GetHashCode() => Name.GetHashCode(StringComparison.Ordinal);
}

/// <summary>A socket, strip, bus, slot or clock of gear, or one of its counts.</summary>
public sealed record PartSubject(GearSymbol Gear, string Name, bool IsCount) : Subject(Name);

/// <summary>A kind of slot: what cards say that they fit.</summary>
public sealed record SlotKindSubject(string Name) : Subject(Name);

/// <summary>A file that is taken in.</summary>
/// <param name="Path">As the plan sees it.</param>
public sealed record FileSubject(string Path) : Subject(Path);

/// <summary>A place where a subject is named.</summary>
public readonly record struct Occurrence
{
    // The subject; or the one symbol that it is, of which a subject is made when somebody asks: of most nobody does.
    private readonly object named;

    /// <param name="span">Where.</param>
    /// <param name="subject">What is named.</param>
    /// <param name="isDeclaration">Whether it is declared there.</param>
    public Occurrence(TextSpan span, Subject subject, bool isDeclaration) => (Span, named, IsDeclaration) = (span, subject, isDeclaration);

    internal Occurrence(TextSpan span, Symbol symbol, bool isDeclaration) => (Span, named, IsDeclaration) = (span, symbol, isDeclaration);

    /// <summary>Where; from the statement's start, or from the file's, as the giver says.</summary>
    public TextSpan Span { get; init; }

    /// <summary>What is named.</summary>
    public Subject Subject => named is Symbol symbol ? new SymbolSubject([symbol]) : (Subject)named;

    /// <summary>The declaration that is named, of several the first; null of anything else.</summary>
    internal Symbol? Symbol => named as Symbol ?? (named as SymbolSubject)?.Symbols[0];

    /// <summary>Whether it is declared there.</summary>
    public bool IsDeclaration { get; }

    /// <summary>The piece of equipment that a part is named of; null in gear.</summary>
    public Device? Device { get; init; }

    /// <summary>The channels that are picked out of a socket, from 0; default where there is no index.</summary>
    public ImmutableArray<(int First, int Count)> Channels { get; init; }
}
