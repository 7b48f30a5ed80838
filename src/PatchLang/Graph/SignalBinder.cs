using System.Collections.Immutable;
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
    private readonly Foundation foundation;
    private readonly FeedBinder binder;
    private readonly PathResolver paths;
    private readonly Dictionary<Symbol, FeedBinding> bindings = new(ReferenceEqualityComparer.Instance);
    private readonly FeedNames names;

    private sealed record Memo(Foundation Foundation, Symbol Symbol)
    {
        public FeedBinding? Binding { get; set; }
    }

    public SignalBinder(PlanFiles files, Foundation foundation, Rig rig)
    {
        this.foundation = foundation;
        var symbols = new List<Symbol>();
        var memos = new List<Memo>();
        for (var f = 0; f < files.Files.Length; f++)
            for (var i = 0; i < files.Trees[f].Count; i++)
                if (files.Trees[f][i].Kind is NodeKind.Feed or NodeKind.Bundle && MemoOf(files.Files[f], files.Trees[f][i]) is { } memo)
                {
                    symbols.Add(memo.Symbol);
                    memos.Add(memo);
                }
        names = new FeedNames(foundation, symbols, Findings);
        paths = new PathResolver(foundation, rig, names);
        binder = new FeedBinder(foundation, rig, paths, s => bindings.GetValueOrDefault(s));
        foreach (var memo in memos)
            if (!names.IsDuplicate(memo.Symbol)) Bind(memo);
        BindInserts(files);
        Paths = paths;
    }

    /// <summary>Feeds and bundles in the order of the files, inserts behind them.</summary>
    public List<FeedBinding> Bindings { get; } = [];

    public List<(InsertStatement Insert, FeedBinding Binding)> Inserts { get; } = [];

    public DraftBag Findings { get; } = new();

    public PathResolver Paths { get; }

    public FeedBinding? BindingOf(Symbol symbol) => bindings.GetValueOrDefault(symbol);

    private Memo? MemoOf(PlanFile file, Statement statement)
    {
        if (statement.Memo is Memo known && known.Foundation == foundation) return known;
        Symbol? symbol = statement.Kind == NodeKind.Feed ? FeedSymbol.Read(file, statement) : BundleSymbol.Read(file, statement);
        if (symbol is null) return null;
        var bag = new DraftBag();
        symbol.Acts = foundation.ActsOf((symbol as FeedSymbol)?.During ?? (symbol as BundleSymbol)?.During, file, statement, bag);
        foreach (var draft in bag.Drafts) symbolFindings.Add((symbol, draft));
        var memo = new Memo(foundation, symbol) { };
        statement.Memo = memo;
        return memo;
    }

    private readonly List<(Symbol, Draft)> symbolFindings = [];

    private void Bind(Memo first)
    {
        if (bindings.ContainsKey(first.Symbol)) return;
        var open = new Stack<(Symbol Symbol, List<Symbol> Needs, int Next)>();
        var isOpen = new HashSet<Symbol>(ReferenceEqualityComparer.Instance);
        Enter(first.Symbol);
        while (open.TryPop(out var top))
        {
            if (top.Next < top.Needs.Count)
            {
                var need = top.Needs[top.Next];
                open.Push(top with { Next = top.Next + 1 });
                if (bindings.ContainsKey(need)) continue;
                if (isOpen.Contains(need)) SayCircle(open, need);
                else Enter(need);
                continue;
            }
            isOpen.Remove(top.Symbol);
            if (!bindings.ContainsKey(top.Symbol)) Finish(top.Symbol);
        }

        void Enter(Symbol symbol)
        {
            isOpen.Add(symbol);
            open.Push((symbol, Needs(symbol), 0));
        }
    }

    private void Finish(Symbol symbol)
    {
        var memo = (Memo)symbol.Statement.Memo!;
        if (memo.Binding is not { } binding || !binder.StillHolds(binding, symbol.File))
        {
            binding = symbol is FeedSymbol feed ? binder.Bind(feed) : binder.Bind((BundleSymbol)symbol);
            var own = symbolFindings.Where(s => s.Item1 == symbol).Select(s => s.Item2).ToList();
            if (own.Count > 0)
                binding = new FeedBinding
                {
                    Foundation = binding.Foundation, Statement = symbol.Statement, Symbol = symbol, Acts = binding.Acts, Variants = binding.Variants,
                    Findings = [.. own, .. binding.Findings], Dependencies = binding.Dependencies,
                };
            memo.Binding = binding;
        }
        Take(symbol, binding);
    }

    private void Take(Symbol symbol, FeedBinding binding)
    {
        bindings.Add(symbol, binding);
        Bindings.Add(binding);
    }

    /// <summary>The feeds and bundles that a feed or bundle starts from or holds.</summary>
    private List<Symbol> Needs(Symbol symbol)
    {
        var needs = new List<Symbol>();
        if (symbol is FeedSymbol feed)
        {
            if (feed.Origin is PickOrigin pick) Add(pick.Tapped.Pick.Path);
            else
                foreach (var path in FeedBinder.MembersOf(feed.Origin)) Add(path);
        }
        else if (symbol is BundleSymbol bundle)
            foreach (var member in bundle.Members) Add(member.Path);
        return needs;

        void Add(PathExpression path)
        {
            if (paths.Candidates(path, symbol.File) is not { } named || named.First is not (FeedSymbol or BundleSymbol)) return;
            foreach (var each in named.All)
                if (each.Acts.Meets(symbol.Acts)) needs.Add(each);
        }
    }

    /// <summary>Says a circle once, at the member whose name comes first, and leaves its members unknown.</summary>
    private void SayCircle(Stack<(Symbol Symbol, List<Symbol> Needs, int Next)> open, Symbol start)
    {
        var circle = new List<Symbol>();
        foreach (var (symbol, _, _) in open)
        {
            circle.Add(symbol);
            if (ReferenceEquals(symbol, start)) break;
        }
        var first = circle.MinBy(s => s.Name, StringComparer.Ordinal)!;
        var isOfBundles = circle.TrueForAll(s => s is BundleSymbol);
        var members = circle.Select(s => s.Name).Order(StringComparer.Ordinal).ToArray();
        var draft = new Draft(isOfBundles ? NameFindings.BundlesInCircle(members) : NameFindings.FeedsInCircle(members), first.Anchor)
        {
            Related = [.. circle.Where(s => s != first).OrderBy(s => s.Name, StringComparer.Ordinal).Take(4).Select(s => (s.Anchor, "in the circle"))],
        };
        foreach (var symbol in circle)
        {
            var elements = (symbol as FeedSymbol)?.Elements ?? Elements.One;
            Take(symbol, new FeedBinding
            {
                Foundation = foundation,
                Statement = symbol.Statement,
                Symbol = symbol,
                Acts = symbol.Acts,
                Variants = [new FeedVariant(symbol.Acts, elements) { Ends = new End[elements.Count], IsUnknown = true }],
                Findings = symbol == first ? [draft] : [],
            });
        }
    }

    private void BindInserts(PlanFiles files)
    {
        for (var f = 0; f < files.Files.Length; f++)
            for (var i = 0; i < files.Trees[f].Count; i++)
            {
                var statement = files.Trees[f][i];
                if (statement.Kind != NodeKind.Insert || InsertStatement.Read(files.Files[f], statement) is not { } insert) continue;
                var acts = foundation.ActsOf(insert.During, insert.File, statement, Findings);
                Inserts.Add((insert, binder.Bind(insert, acts)));
            }
    }
}
