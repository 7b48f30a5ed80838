using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>
/// The names of feeds and bundles, by scope. They share a namespace with units and prefixes. Each signal has a number, its
/// index among the plan's feeds and bundles. The tables hold numbers and not symbols, so that they remain valid for the next
/// version of the plan as long as its signals have the same names.
/// </summary>
internal sealed class FeedNames
{
    private readonly Foundation foundation;
    private readonly Symbol[] symbols;
    private readonly Space[] spaces;
    private readonly HashSet<Symbol> duplicates = [];
    private readonly Lazy<bool> mayShareLabels;

    // Whether a name has several signals in different acts: findings about that depend on more than the names.
    private bool hasShared;

    /// <summary>The names of one scope.</summary>
    private sealed class Space(int capacity)
    {
        /// <summary>The first signal of each name.</summary>
        public NumbersByName Firsts { get; } = new(capacity);

        /// <summary>For names with several signals, in disjoint acts: the others, keyed by the first.</summary>
        public Dictionary<int, int[]> Others { get; } = [];

        /// <summary>An index for spelling suggestions; null until a name is misspelt.</summary>
        public KnownNames? Known;

        public int[] OthersOf(int first) => Others.Count > 0 && Others.TryGetValue(first, out var others) ? others : [];
    }

    private FeedNames(Foundation foundation, Symbol[] symbols, Space[] spaces, Lazy<bool>? mayShareLabels = null)
    {
        this.foundation = foundation;
        this.symbols = symbols;
        this.spaces = spaces;
        this.mayShareLabels = mayShareLabels ?? new Lazy<bool>(FindSharedLabels);
    }

    /// <summary>The names of a plan's signals, which are given file by file.</summary>
    /// <param name="foundation">The plan's other declarations.</param>
    /// <param name="symbols">The signals, by number.</param>
    /// <param name="bag">Receives findings about names declared twice.</param>
    /// <param name="before">The names of the previous version, reused if they are the same.</param>
    public static FeedNames Of(Foundation foundation, Symbol[] symbols, DraftBag bag, FeedNames? before)
    {
        if (before is not null && before.HoldsFor(foundation, symbols))
            return new FeedNames(foundation, symbols, before.spaces, before.IsLabelledLike(symbols) ? before.mayShareLabels : null);
        var empty = new Space[foundation.Scopes.Length];
        for (var i = 0; i < empty.Length; i++) empty[i] = new Space(i == 0 ? symbols.Length : 0);
        var names = new FeedNames(foundation, symbols, empty);
        foreach (var scope in foundation.Scopes) names.AddAll(scope, bag);
        return names;
    }

    /// <summary>A token for the meaning of all names: a different object as soon as any name may mean something else.</summary>
    public object Meaning => spaces;

    public Named? Find(Scope scope, string name)
    {
        var space = spaces[scope.Number];
        if (space.Firsts.Find(name, symbols) is not (>= 0 and var first)) return null;
        return new Named(symbols[first], space.OthersOf(first) is { Length: > 0 } others ? [.. others.Select(n => symbols[n])] : []);
    }

    /// <summary>The number of a signal; −1 if its name belongs to another, or it is not a signal.</summary>
    public int NumberOf(Symbol symbol)
    {
        var space = spaces[foundation.HomeOf(symbol.File).Number];
        var first = space.Firsts.Find(symbol.NameText, symbols);
        if (first < 0 || ReferenceEquals(symbols[first], symbol)) return first;
        foreach (var other in space.OthersOf(first))
            if (ReferenceEquals(symbols[other], symbol)) return other;
        return -1;
    }

    /// <summary>The names in a scope, for spelling suggestions. Built once, and shared while the names stay the same.</summary>
    public KnownNames KnownIn(Scope scope) => LazyInitializer.EnsureInitialized(ref spaces[scope.Number].Known, () => new KnownNames(NamesIn(scope)));

    private IEnumerable<string> NamesIn(Scope scope)
    {
        for (var number = 0; number < symbols.Length; number++)
            if (spaces[scope.Number].Firsts.Find(symbols[number].NameText, symbols) == number) yield return symbols[number].Name;
    }

    /// <summary>Whether two feeds may have the same label. Determined once, and shared while the labels stay the same.</summary>
    public bool MayShareLabels => mayShareLabels.Value;

    public bool HasDuplicates => duplicates.Count > 0;

    public bool IsDuplicate(Symbol symbol) => duplicates.Count > 0 && duplicates.Contains(symbol);

    private void AddAll(Scope scope, DraftBag bag)
    {
        PlanFile? file = null;
        var isSeen = false;
        for (var number = 0; number < symbols.Length; number++)
        {
            var symbol = symbols[number];
            if (!ReferenceEquals(file, symbol.File)) (file, isSeen) = (symbol.File, scope.Files.Contains(symbol.File));
            if (!isSeen || OwnerOf(scope, number, bag) is not { } first) continue;
            if (duplicates.Add(symbol)) foundation.SayTwice(first, symbol, bag);
        }
    }

    /// <summary>The symbol that already has a signal's name in one of its acts; null if the name is free.</summary>
    private Symbol? OwnerOf(Scope scope, int number, DraftBag bag)
    {
        var symbol = symbols[number];
        var things = scope.Things.Find(symbol.NameText);
        if (things is { } there)
            foreach (var thing in there)
                if (thing.Acts.Meets(symbol.Acts)) return thing;
        var space = spaces[scope.Number];
        var first = space.Firsts.FindOrAdd(symbol.NameText, number, symbols);
        if (first < 0)
        {
            if (things is { } elsewhere) Share(elsewhere.First);
            return null;
        }
        if (symbols[first].Acts.Meets(symbol.Acts)) return symbols[first];
        var others = space.OthersOf(first);
        foreach (var other in others)
            if (symbols[other].Acts.Meets(symbol.Acts)) return symbols[other];
        space.Others[first] = [.. others, number];
        Share(things?.First ?? symbols[first]);
        return null;

        void Share(Symbol with)
        {
            hasShared = true;
            Foundation.SayIfChanged(with, symbol, bag);
        }
    }

    private bool HoldsFor(Foundation other, Symbol[] now)
    {
        if (foundation != other || hasShared || duplicates.Count > 0 || symbols.Length != now.Length) return false;
        for (var i = 0; i < now.Length; i++)
            if (!ReferenceEquals(symbols[i], now[i]) && (!symbols[i].NameText.SequenceEqual(now[i].NameText) || symbols[i].Acts != now[i].Acts || symbols[i].File != now[i].File)) return false;
        return true;
    }

    private bool IsLabelledLike(Symbol[] now)
    {
        for (var i = 0; i < now.Length; i++)
            if (!ReferenceEquals(symbols[i], now[i]) && !LabelsOf(symbols[i]).SequenceEqual(LabelsOf(now[i]))) return false;
        return true;
    }

    private bool FindSharedLabels()
    {
        var seen = new HashSet<ulong>(symbols.Length);
        foreach (var symbol in symbols)
            if (symbol is FeedSymbol feed && feed.MayRepeatLabel(seen)) return true;
        return false;
    }

    private static ReadOnlySpan<string> LabelsOf(Symbol symbol) => symbol is FeedSymbol feed ? feed.Labels.AsSpan() : [];
}
