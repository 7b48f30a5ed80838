using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>
/// The names of feeds and bundles, by scope. They share the space of units and prefixes. Each signal has a number,
/// its place among the plan's feeds and bundles; the tables hold numbers, so that they serve the next text too while
/// its signals are called the same.
/// </summary>
internal sealed class FeedNames
{
    private readonly Foundation foundation;
    private readonly Symbol[] symbols;
    private readonly Space[] spaces;
    private readonly HashSet<Symbol> duplicates = [];
    private readonly Lazy<bool> mayShareLabels;

    // Whether several things have one name, each in its acts: what is said of that depends on more than names.
    private bool hasShared;

    /// <summary>The names of one scope.</summary>
    private sealed class Space(int capacity)
    {
        /// <summary>The first signal of each name.</summary>
        public NumbersByName Firsts { get; } = new(capacity);

        /// <summary>The other signals of a name that several have, in acts that are disjoint, by the first.</summary>
        public Dictionary<int, int[]> Others { get; } = [];

        /// <summary>The names, as they are looked for when one is misspelt; null until one is.</summary>
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

    /// <summary>The names of a plan's signals, which come file by file.</summary>
    /// <param name="foundation">What the plan declares ahead of them.</param>
    /// <param name="symbols">The signals by their numbers.</param>
    /// <param name="bag">Takes what is declared twice.</param>
    /// <param name="before">The names of the text before, which are taken over if they are the same.</param>
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

    /// <summary>Stands for what the names mean: another object as soon as one may mean something else.</summary>
    public object Meaning => spaces;

    public Named? Find(Scope scope, string name)
    {
        var space = spaces[scope.Number];
        if (space.Firsts.Find(name, symbols) is not (>= 0 and var first)) return null;
        return new Named(symbols[first], space.OthersOf(first) is { Length: > 0 } others ? [.. others.Select(n => symbols[n])] : []);
    }

    /// <summary>The number of a signal; −1 if it lost its name to another, or is none.</summary>
    public int NumberOf(Symbol symbol)
    {
        var space = spaces[foundation.HomeOf(symbol.File).Number];
        var first = space.Firsts.Find(symbol.NameText, symbols);
        if (first < 0 || ReferenceEquals(symbols[first], symbol)) return first;
        foreach (var other in space.OthersOf(first))
            if (ReferenceEquals(symbols[other], symbol)) return other;
        return -1;
    }

    /// <summary>The names in a scope. Looked up once for all texts in which the signals are called the same.</summary>
    public KnownNames KnownIn(Scope scope) => LazyInitializer.EnsureInitialized(ref spaces[scope.Number].Known, () => new KnownNames(NamesIn(scope)));

    private IEnumerable<string> NamesIn(Scope scope)
    {
        for (var number = 0; number < symbols.Length; number++)
            if (spaces[scope.Number].Firsts.Find(symbols[number].NameText, symbols) == number) yield return symbols[number].Name;
    }

    /// <summary>Whether two feeds may have one label. Found out once for all texts in which they are labelled the same.</summary>
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

    /// <summary>What has a signal's name already, in an act of its own; null if it takes the name.</summary>
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
