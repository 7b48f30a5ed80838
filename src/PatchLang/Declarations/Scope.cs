using System.Collections.Immutable;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The things one name stands for: one, or several whose acts are disjoint.</summary>
internal readonly record struct Named(Symbol First, ImmutableArray<Symbol> Others)
{
    public bool IsSingle => Others.IsDefaultOrEmpty;

    public IEnumerable<Symbol> All => IsSingle ? [First] : Others.Insert(0, First);

    public Named And(Symbol symbol) => new(First, IsSingle ? [symbol] : Others.Add(symbol));

    /// <summary>Goes through all of them without making anything.</summary>
    public Enumerator GetEnumerator() => new(this);

    public struct Enumerator(Named named)
    {
        private int next = -1;

        public readonly Symbol Current => next == 0 ? named.First : named.Others[next - 1];

        public bool MoveNext() => ++next <= (named.IsSingle ? 0 : named.Others.Length);
    }
}

/// <summary>One space of names.</summary>
internal sealed class NameSpace
{
    private readonly Dictionary<string, Named> entries = [];
    private readonly Dictionary<string, Named>.AlternateLookup<ReadOnlySpan<char>> byText;
    private KnownNames? known;

    public NameSpace() => byText = entries.GetAlternateLookup<ReadOnlySpan<char>>();

    public IEnumerable<string> Names => entries.Keys;

    /// <summary>The same, for who looks for what was meant.</summary>
    public KnownNames Known => known ?? LazyInitializer.EnsureInitialized(ref known, () => new KnownNames(entries.Keys));

    public IEnumerable<Named> Entries => entries.Values;

    public Named? Find(string name) => entries.TryGetValue(name, out var named) ? named : null;

    /// <summary>The same, by a piece of text; one that is not in normal form C is not found.</summary>
    public Named? Find(ReadOnlySpan<char> name) => byText.TryGetValue(name, out var named) ? named : null;

    /// <summary>Makes room for so many names, so that the table need not grow.</summary>
    public void MakeRoomFor(int count) => entries.EnsureCapacity(count);

    /// <summary>Takes a symbol in. Gives the one that has the name already in an act of its own, if there is one; the new one is then left out.</summary>
    public Symbol? Add(Symbol symbol)
    {
        known = null;
        if (entries.TryAdd(symbol.Name, new Named(symbol, []))) return null;
        var named = entries[symbol.Name];
        foreach (var other in named)
            if (ReferenceEquals(other, symbol) || other.Acts.Meets(symbol.Acts)) return other;
        entries[symbol.Name] = named.And(symbol);
        return null;
    }
}

/// <summary>
/// What a file's names mean: the declarations of a file and of all that it uses without a prefix, through any number
/// of files. A prefix leads to the scope of the file it stands for.
/// </summary>
internal sealed class Scope(int number, ImmutableArray<PlanFile> files)
{
    /// <summary>Its place among the scopes.</summary>
    public int Number { get; } = number;

    /// <summary>The files whose declarations are seen here; the first is the one the scope was made for.</summary>
    public ImmutableArray<PlanFile> Files { get; } = files;

    /// <summary>Whether a file that it uses could not be had, so that a name not found here may well be in that.</summary>
    public bool HasHoles { get; set; }

    /// <summary>Units, networks aside, and prefixes. Feeds and bundles share the space, and stand in another table, which an edit makes anew.</summary>
    public NameSpace Things { get; } = new();

    public NameSpace Gear { get; } = new();

    public NameSpace Formats { get; } = new();

    public NameSpace Networks { get; } = new();

    public NameSpace Looms { get; } = new();

    public NameSpace Acts { get; } = new();

    /// <summary>The one unit that a name stands for in all acts; null where it stands for something else, or nothing.</summary>
    public UnitSymbol? UnitOf(ReadOnlySpan<char> name) => Things.Find(name) is { IsSingle: true, First: UnitSymbol unit } ? unit : null;

    /// <summary>The scope that a prefix leads to, or null.</summary>
    public Scope? Through(string prefix) => HasPrefixes ? (Things.Find(prefix)?.First as PrefixSymbol)?.Target : null;

    /// <summary>Whether any file was taken in under a prefix.</summary>
    public bool HasPrefixes { get; set; }

    /// <summary>All spaces but the units'.</summary>
    public NameSpace SpaceOf(Symbol symbol) => symbol switch
    {
        GearSymbol => Gear,
        FormatSymbol => Formats,
        NetworkSymbol => Networks,
        LoomSymbol => Looms,
        ActSymbol => Acts,
        _ => Things,
    };
}
