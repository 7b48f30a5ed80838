using System.Collections.Immutable;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The symbols that a name stands for: one, or several in disjoint acts.</summary>
internal readonly record struct Named(Symbol First, ImmutableArray<Symbol> Others)
{
    public bool IsSingle => Others.IsDefaultOrEmpty;

    public IEnumerable<Symbol> All => IsSingle ? [First] : Others.Insert(0, First);

    public Named And(Symbol symbol) => new(First, IsSingle ? [symbol] : Others.Add(symbol));

    /// <summary>Enumerates all of them without allocation.</summary>
    public Enumerator GetEnumerator() => new(this);

    public struct Enumerator(Named named)
    {
        private int next = -1;

        public readonly Symbol Current => next == 0 ? named.First : named.Others[next - 1];

        public bool MoveNext() => ++next <= (named.IsSingle ? 0 : named.Others.Length);
    }
}

/// <summary>A namespace: symbols by name.</summary>
internal sealed class NameSpace
{
    private readonly Dictionary<string, Named> entries = [];
    private readonly Dictionary<string, Named>.AlternateLookup<ReadOnlySpan<char>> byText;
    private KnownNames? known;

    public NameSpace() => byText = entries.GetAlternateLookup<ReadOnlySpan<char>>();

    public IEnumerable<string> Names => entries.Keys;

    /// <summary>The names, for spelling suggestions.</summary>
    public KnownNames Known => known ?? LazyInitializer.EnsureInitialized(ref known, () => new KnownNames(entries.Keys));

    public IEnumerable<Named> Entries => entries.Values;

    public Named? Find(string name) => entries.TryGetValue(name, out var named) ? named : null;

    /// <summary>The same, for a piece of text; it is not found unless it is in normal form C.</summary>
    public Named? Find(ReadOnlySpan<char> name) => byText.TryGetValue(name, out var named) ? named : null;

    /// <summary>Reserves room for a number of names.</summary>
    public void MakeRoomFor(int count) => entries.EnsureCapacity(count);

    /// <summary>Adds a symbol. If another already has its name in a common act, returns that one, and the new one is not added.</summary>
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
/// The names visible in a file: the declarations of the file and of all files it uses without a prefix, directly or through others.
/// A prefix leads to the scope of the file it stands for.
/// </summary>
internal sealed class Scope(int number, ImmutableArray<PlanFile> files)
{
    /// <summary>Its index among the scopes.</summary>
    public int Number { get; } = number;

    /// <summary>The files whose declarations are visible; the first is the one the scope belongs to.</summary>
    public ImmutableArray<PlanFile> Files { get; } = files;

    /// <summary>Whether a file that it uses could not be read, so that a name not found here may be declared there.</summary>
    public bool HasHoles { get; set; }

    /// <summary>Units and prefixes. Feeds and bundles share this namespace, but are in a separate table, which is rebuilt on edits.</summary>
    public NameSpace Things { get; } = new();

    public NameSpace Gear { get; } = new();

    public NameSpace Formats { get; } = new();

    public NameSpace Networks { get; } = new();

    public NameSpace Looms { get; } = new();

    public NameSpace Acts { get; } = new();

    /// <summary>The only unit that a name stands for in all acts; null if it stands for something else, or nothing.</summary>
    public UnitSymbol? UnitOf(ReadOnlySpan<char> name) => Things.Find(name) is { IsSingle: true, First: UnitSymbol unit } ? unit : null;

    /// <summary>The scope that a prefix leads to, or null.</summary>
    public Scope? Through(string prefix) => HasPrefixes ? (Things.Find(prefix)?.First as PrefixSymbol)?.Target : null;

    /// <summary>Whether any file is used with a prefix.</summary>
    public bool HasPrefixes { get; set; }

    /// <summary>The namespace that a symbol belongs to.</summary>
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
