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
/// <param name="Span">Where; from the statement's start, or from the file's, as the giver says.</param>
/// <param name="Subject">What is named.</param>
/// <param name="IsDeclaration">Whether it is declared there.</param>
public readonly record struct Occurrence(TextSpan Span, Subject Subject, bool IsDeclaration)
{
    /// <summary>The piece of equipment that a part is named of; null in gear.</summary>
    public Device? Device { get; init; }

    /// <summary>The channels that are picked out of a socket, from 0; default where there is no index.</summary>
    public ImmutableArray<(int First, int Count)> Channels { get; init; }
}
