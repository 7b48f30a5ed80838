using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>
/// Binds all feeds, bundles and inserts of a plan, each after those it starts from. What was bound for an earlier
/// text is kept with its statement, and used again while the foundation and the names it hangs on stay.
/// </summary>
internal sealed class SignalBinder
{
    private readonly Lock gate = new();
    private readonly Foundation foundation;
    private readonly FeedBinder binder;
    private readonly FeedNames names;
    private readonly Symbol[] symbols;
    private readonly FeedBinding?[] bindings;
    private readonly bool[] isOpen;

    // What is being bound, each with its stretch of the list of what it needs.
    private readonly List<(int Number, int FirstNeed, int NextNeed)> open = [];
    private readonly List<int> needs = [];
    private Dictionary<Symbol, IReadOnlyList<Draft>>? findingsOfActs;

    /// <param name="statements">The plan's statements, sorted.</param>
    /// <param name="foundation">What it declares ahead of its signals.</param>
    /// <param name="rig">Its equipment.</param>
    /// <param name="before">The signals of the text before, if there was one.</param>
    public SignalBinder(StatementSorts statements, Foundation foundation, Rig rig, SignalBinder? before)
    {
        this.foundation = foundation;
        symbols = Symbols(statements, rig);
        bindings = new FeedBinding?[symbols.Length];
        isOpen = new bool[symbols.Length];
        names = FeedNames.Of(foundation, symbols, Findings, before?.names);
        Paths = new PathResolver(foundation, rig, names);
        binder = new FeedBinder(foundation, rig, Paths, BindingOf);
        for (var number = 0; number < symbols.Length; number++)
            if (!names.IsDuplicate(symbols[number])) Bind(number);
        // What lost its name to another is not bound.
        Bindings = names.HasDuplicates ? bindings.OfType<FeedBinding>().ToArray() : (FeedBinding[])bindings!;
        BindInserts(statements);
    }

    /// <summary>Feeds and bundles in the order of the files.</summary>
    public FeedBinding[] Bindings { get; }

    public List<(InsertStatement Insert, FeedBinding Binding)> Inserts { get; } = [];

    /// <summary>Whether two feeds may have one label in the sheets.</summary>
    public bool MayShareLabels => names.MayShareLabels;

    public DraftBag Findings { get; } = new();

    public PathResolver Paths { get; }

    public FeedBinding? BindingOf(Symbol symbol) => symbol is FeedSymbol or BundleSymbol && names.NumberOf(symbol) is >= 0 and var number ? bindings[number] : null;

    private Symbol[] Symbols(StatementSorts statements, Rig rig)
    {
        var found = new Symbol?[statements.Signals.Length];
        var unread = new List<int>();
        for (var i = 0; i < found.Length; i++)
            if (statements.Signals[i].Memo is FeedBinding known && known.Foundation == foundation) found[i] = known.Symbol;
            else unread.Add(i);
        SideBySide.InPieces(unread.Count, (first, end) => Read(statements, CollectionsMarshal.AsSpan(unread)[first..end], rig, found));
        // What has no name is none.
        return Array.IndexOf(found, null) < 0 ? (Symbol[])found! : found.OfType<Symbol>().ToArray();
    }

    /// <summary>
    /// Reads statements. A feed that hangs on no other is bound at once, while it is at hand, by a binder of this piece of
    /// work: what it is bound to does not depend on the order.
    /// </summary>
    private void Read(StatementSorts statements, ReadOnlySpan<int> unread, Rig rig, Symbol?[] found)
    {
        var own = new FeedBinder(foundation, rig, new PathResolver(foundation, rig, null), _ => null);
        var (bag, acts) = (new DraftBag(), new ActsReader(foundation));
        foreach (var number in unread)
        {
            var statement = statements.Signals[number];
            var file = statements.FileOf(number);
            Symbol? symbol = statement.Kind == NodeKind.Feed
                ? FeedSymbol.Read(file, statement, foundation.HomeOf(file), acts, bag)
                : BundleSymbol.Read(file, statement, acts, bag);
            if (symbol is null) continue;
            found[number] = symbol;
            var said = bag.IsEmpty ? null : bag.Drafts;
            if (said is not null) bag = new DraftBag();
            if (symbol is FeedSymbol feed && IsIndependent(feed)) statement.Memo = own.Bind(feed, said);
            else if (said is not null)
                lock (gate) (findingsOfActs ??= []).Add(symbol, said);
        }
    }

    /// <summary>Whether a feed names nothing but sockets.</summary>
    private static bool IsIndependent(FeedSymbol feed)
    {
        if (feed.Origin?.Tapped is not { Pick: { At: null, Path.Unit: not null } }) return false;
        foreach (var hop in feed.Hops)
            if (hop.Unit is null) return false;
        return true;
    }

    private void Bind(int first)
    {
        if (bindings[first] is not null) return;
        if (symbols[first].Statement.Memo is FeedBinding { Dependencies.IsEmpty: true } known && known.Symbol == symbols[first] && known.Foundation == foundation)
        {
            bindings[first] = known;
            return;
        }
        Enter(first);
        while (open.Count > 0)
        {
            var (number, firstNeed, nextNeed) = open[^1];
            if (nextNeed < needs.Count)
            {
                open[^1] = (number, firstNeed, nextNeed + 1);
                var need = needs[nextNeed];
                if (bindings[need] is not null) continue;
                if (isOpen[need]) SayCircle(need);
                else Enter(need);
                continue;
            }
            open.RemoveAt(open.Count - 1);
            needs.RemoveRange(firstNeed, needs.Count - firstNeed);
            isOpen[number] = false;
            bindings[number] ??= Bound(symbols[number]);
        }

        void Enter(int number)
        {
            isOpen[number] = true;
            open.Add((number, needs.Count, needs.Count));
            AddNeeds(symbols[number]);
        }
    }

    private FeedBinding Bound(Symbol symbol)
    {
        var before = symbol.Statement.Memo is FeedBinding known && known.Symbol == symbol ? known : null;
        if (before is not null && binder.StillHolds(before, symbol.File)) return before;
        var own = FindingsOfActs(symbol);
        var binding = symbol is FeedSymbol feed ? binder.Bind(feed, own) : binder.Bind((BundleSymbol)symbol, own);
        symbol.Statement.Memo = binding;
        return binding;
    }

    /// <summary>What was found of the acts that a signal names, now or when it was read for an earlier text.</summary>
    private IReadOnlyList<Draft>? FindingsOfActs(Symbol symbol) =>
        symbol.Statement.Memo is FeedBinding known && known.Symbol == symbol ? known.FindingsOfActs : findingsOfActs?.GetValueOrDefault(symbol);

    /// <summary>Lists the feeds and bundles that a feed or bundle starts from or holds.</summary>
    private void AddNeeds(Symbol symbol)
    {
        if (symbol is FeedSymbol feed)
        {
            if (feed.Origin?.Tapped is { } tapped) Add(tapped.Pick.Path);
            else
                foreach (var path in FeedBinder.MembersOf(feed.Origin)) Add(path);
        }
        else if (symbol is BundleSymbol bundle)
            foreach (var member in bundle.Members) Add(member.Path);

        void Add(PathExpression path)
        {
            if (Paths.Candidates(path, symbol.File) is not { } named || named.First is not (FeedSymbol or BundleSymbol)) return;
            foreach (var each in named)
                if (each.Acts.Meets(symbol.Acts) && names.NumberOf(each) is >= 0 and var number) needs.Add(number);
        }
    }

    /// <summary>Says a circle once, at the member whose name comes first, and leaves its members unknown.</summary>
    private void SayCircle(int start)
    {
        var circle = new List<Symbol>();
        var numbers = new List<int>();
        for (var i = open.Count - 1; numbers.Count == 0 || numbers[^1] != start; i--)
        {
            numbers.Add(open[i].Number);
            circle.Add(symbols[open[i].Number]);
        }
        var first = circle.MinBy(s => s.Name, StringComparer.Ordinal)!;
        var isOfBundles = circle.TrueForAll(s => s is BundleSymbol);
        var members = circle.Select(s => s.Name).Order(StringComparer.Ordinal).ToArray();
        var draft = new Draft(isOfBundles ? NameFindings.BundlesInCircle(members) : NameFindings.FeedsInCircle(members), first.Anchor)
        {
            Related = [.. circle.Where(s => s != first).OrderBy(s => s.Name, StringComparer.Ordinal).Take(4).Select(s => (s.Anchor, "in the circle"))],
        };
        foreach (var number in numbers)
        {
            var symbol = symbols[number];
            var elements = (symbol as FeedSymbol)?.Elements ?? Elements.One;
            bindings[number] = new FeedBinding
            {
                Foundation = foundation,
                Statement = symbol.Statement,
                Symbol = symbol,
                Acts = symbol.Acts,
                Variants = [new FeedVariant(symbol.Acts, elements) { Ends = Ends.Unknown(elements.Count), IsUnknown = true }],
                Findings = [.. FindingsOfActs(symbol) ?? [], .. symbol == first ? (Draft[])[draft] : []],
            };
        }
    }

    private void BindInserts(StatementSorts statements)
    {
        foreach (var (file, statement) in statements.Of(NodeKind.Insert))
        {
            if (InsertStatement.Read(file, statement) is not { } insert) continue;
            var acts = foundation.ActsOf(insert.During, insert.File, statement, Findings);
            Inserts.Add((insert, binder.Bind(insert, acts)));
        }
    }
}
