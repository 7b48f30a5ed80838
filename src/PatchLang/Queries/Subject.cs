using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>What a name in a plan stands for.</summary>
/// <param name="Name">The name.</param>
public abstract record Subject(string Name);

/// <summary>A declared symbol; several if the declarations differ between acts.</summary>
public sealed record SymbolSubject(ImmutableArray<Symbol> Symbols) : Subject(Symbols[0].Name)
{
    /// <inheritdoc/>
    public bool Equals(SymbolSubject? other) => other is not null && Symbols.Any(s => other.Symbols.Contains(s));

    /// <inheritdoc/>
    public override int GetHashCode() => Name.GetHashCode(StringComparison.Ordinal);
}

/// <summary>A socket, strip, bus, slot or clock of gear, or one of its parameters.</summary>
public sealed record PartSubject(GearSymbol Gear, string Name, bool IsCount) : Subject(Name);

/// <summary>A kind of slot, which cards declare that they fit.</summary>
public sealed record SlotKindSubject(string Name) : Subject(Name);

/// <summary>A used file.</summary>
/// <param name="Path">Its path within the plan.</param>
public sealed record FileSubject(string Path) : Subject(Path);

/// <summary>An occurrence of a name.</summary>
public readonly record struct Occurrence
{
    // The subject, or a single symbol, for which a subject is only created on demand.
    private readonly object named;

    /// <param name="span">Its span.</param>
    /// <param name="subject">The subject it names.</param>
    /// <param name="isDeclaration">Whether it is the declaration.</param>
    public Occurrence(TextSpan span, Subject subject, bool isDeclaration) => (Span, named, IsDeclaration) = (span, subject, isDeclaration);

    internal Occurrence(TextSpan span, Symbol symbol, bool isDeclaration) => (Span, named, IsDeclaration) = (span, symbol, isDeclaration);

    /// <summary>Its span, counted from the start of the statement or of the file, depending on the source.</summary>
    public TextSpan Span { get; init; }

    /// <summary>The subject it names.</summary>
    public Subject Subject => named is Symbol symbol ? new SymbolSubject([symbol]) : (Subject)named;

    /// <summary>The symbol it names, of several the first; null if it names something else.</summary>
    internal Symbol? Symbol => named as Symbol ?? (named as SymbolSubject)?.Symbols[0];

    /// <summary>Whether it is the declaration.</summary>
    public bool IsDeclaration { get; }

    /// <summary>The device whose part is named; null inside a declaration of gear.</summary>
    public Device? Device { get; init; }

    /// <summary>The indexed channels of a socket, from 0; default if there is no index.</summary>
    public ImmutableArray<(int First, int Count)> Channels { get; init; }
}
