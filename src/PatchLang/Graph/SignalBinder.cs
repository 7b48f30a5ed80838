using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>
/// Binds all feeds, bundles and inserts of a plan, each after those it starts from. Bindings are cached with their statements, and
/// reused for the next version of the plan as long as the foundation and the names they depend on stay the same.
/// </summary>
internal sealed class SignalBinder
{
    /// <summary>How many points a thread binds before it adds them to the total that others see.</summary>
    private const int TellPoints = 10_000;

    private readonly Lock gate = new();
    private readonly Foundation foundation;
    private readonly FeedBinder binder;
    private readonly FeedNames names;
    private readonly Statement[] statements;
    private readonly Symbol[] symbols;
    private readonly FeedBinding?[] bindings;

    // The signals of the previous version, during construction only, and how many statements are unchanged at both ends.
    private readonly SignalBinder? known;
    private readonly int head;
    private readonly int tail;

    // The bindings of statements that are new in this version or, if some of those declare no signal, of all symbols. The copy cached in
    // a statement may by then belong to another compilation.
    private FeedBinding?[] atHand = [];
    private int firstAtHand;

    // The stack of signals being bound, each with its range in the list of signals needed first.
    private readonly List<(int Number, int FirstNeed, int NextNeed)> open = [];
    private readonly List<int> needs = [];
    private bool[]? isOpen;
    private bool hasCircles;

    // The number of points so far of feeds and bundles, in binding order, against the limit for the plan.
    private readonly int mostPoints;
    private readonly bool hasTakenOver;
    private long pointCount;
    private long pointsSideBySide;
    private bool isFull;
    private Dictionary<Symbol, IReadOnlyList<Draft>>? findingsOfActs;

    /// <summary>Binds the signals of a plan.</summary>
    /// <param name="sorts">The plan's statements, by kind.</param>
    /// <param name="foundation">The plan's other declarations.</param>
    /// <param name="rig">The plan's equipment.</param>
    /// <param name="before">The signals of the previous version, if any.</param>
    public static SignalBinder Of(StatementSorts sorts, Foundation foundation, Rig rig, SignalBinder? before)
    {
        var signals = new SignalBinder(sorts, foundation, rig, before);
        // If there are too many points, which signals are left out must not depend on the previous version.
        return signals is { isFull: true, hasTakenOver: true } ? new SignalBinder(sorts, foundation, rig, null) : signals;
    }

    private SignalBinder(StatementSorts sorts, Foundation foundation, Rig rig, SignalBinder? before)
    {
        this.foundation = foundation;
        mostPoints = PointLimit.Of(rig.AllActs);
        statements = sorts.Signals;
        if (before is { IsPlain: true } && before.foundation == foundation)
        {
            known = before;
            var most = Math.Min(statements.Length, before.statements.Length);
            while (head < most && statements[head] == before.statements[head]) head++;
            while (tail < most - head && statements[^(tail + 1)] == before.statements[^(tail + 1)]) tail++;
        }
        symbols = Symbols(sorts, rig);
        bindings = new FeedBinding?[symbols.Length];
        names = FeedNames.Of(foundation, symbols, Findings, before?.names);
        Paths = new PathResolver(foundation, rig, names);
        binder = new FeedBinder(foundation, rig, Paths, BindingOf);
        TakeOver();
        for (var number = 0; number < bindings.Length; number++)
        {
            if (bindings[number] is not null) continue;
            if (!names.IsDuplicate(symbols[number])) Bind(number);
            else
                // It may have lost its name because of an act that does not exist.
                foreach (var draft in FindingsOfActs(number) ?? []) Findings.Add(draft);
        }
        // Signals whose name belongs to another are not bound.
        Bindings = names.HasDuplicates ? bindings.OfType<FeedBinding>().ToArray() : (FeedBinding[])bindings!;
        BindInserts(sorts);
        Pages = SignalPages.Of(Inserts.Count == 0 ? Bindings : [.. Bindings, .. Inserts.Select(i => i.Binding)], rig, before?.foundation == foundation ? before.Pages : null);
        hasTakenOver = known is not null;
        known = null;
        atHand = [];
    }

    /// <summary>Feeds and bundles in the order of the files.</summary>
    public FeedBinding[] Bindings { get; }

    public List<(InsertStatement Insert, FeedBinding Binding)> Inserts { get; } = [];

    /// <summary>All of them in pages, with the traits of each page.</summary>
    public SignalPages Pages { get; }

    /// <summary>A token for the meaning of the plan's names: a different object as soon as any name may mean something else.</summary>
    public object MeaningOfNames => names.Meaning;

    /// <summary>Whether two feeds may have one label in the sheets.</summary>
    public bool MayShareLabels => names.MayShareLabels;

    public DraftBag Findings { get; } = new();

    public PathResolver Paths { get; }

    /// <summary>Whether each statement has exactly one binding of its own, so that the next version can reuse bindings by index.</summary>
    private bool IsPlain => !hasCircles && !isFull && !names.HasDuplicates && bindings.Length == statements.Length;

    public FeedBinding? BindingOf(Symbol symbol) => symbol is FeedSymbol or BundleSymbol && names.NumberOf(symbol) is >= 0 and var number ? bindings[number] : null;

    private Symbol[] Symbols(StatementSorts sorts, Rig rig)
    {
        var found = new Symbol?[statements.Length];
        if (known is not null)
        {
            Array.Copy(known.symbols, found, head);
            Array.Copy(known.symbols, known.symbols.Length - tail, found, found.Length - tail, tail);
        }
        var unread = new List<int>();
        (atHand, firstAtHand) = (new FeedBinding?[found.Length - tail - head], head);
        for (var i = head; i < found.Length - tail; i++)
            if (statements[i].Memo is FeedBinding binding && binding.Foundation == foundation) found[i] = (atHand[i - head] = binding).Symbol;
            else unread.Add(i);
        SideBySide.InPieces(unread.Count, (first, end) => Read(sorts, CollectionsMarshal.AsSpan(unread)[first..end], rig, found));
        // Statements without a name declare no signal.
        if (Array.IndexOf(found, null, head, found.Length - tail - head) < 0) return (Symbol[])found!;
        FeedBinding?[] all = known is null ? atHand : [.. known.bindings.AsSpan(0, head), .. atHand, .. known.bindings.AsSpan(known.bindings.Length - tail)];
        (atHand, firstAtHand) = ([.. all.Where((_, i) => found[i] is not null)], 0);
        return found.OfType<Symbol>().ToArray();
    }

    /// <summary>Reuses the earlier bindings that depend on no other signal.</summary>
    private void TakeOver()
    {
        if (known is null || symbols.Length != statements.Length) return;
        Array.Copy(known.bindings, bindings, head);
        Array.Copy(known.bindings, known.bindings.Length - tail, bindings, bindings.Length - tail, tail);
        pointCount = known.pointCount;
        foreach (var other in known.bindings.AsSpan(head..^tail)) pointCount -= other!.Points;
        var shift = bindings.Length - known.bindings.Length;
        foreach (var number in known.Pages.NumbersNear(SignalTraits.Dependencies))
        {
            if (number >= known.bindings.Length) break; // inserts
            var now = number < head ? number : number >= known.bindings.Length - tail ? number + shift : -1;
            if (now >= 0 && !bindings[now]!.Dependencies.IsEmpty) Release(now);
        }
        for (var number = 0; names.HasDuplicates && number < bindings.Length; number++)
            if (names.IsDuplicate(symbols[number]) && bindings[number] is not null) Release(number);

        void Release(int number)
        {
            pointCount -= bindings[number]!.Points;
            bindings[number] = null;
        }
    }

    /// <summary>A signal's binding from an earlier version.</summary>
    private FeedBinding? Before(int number)
    {
        var binding = number >= firstAtHand && number < firstAtHand + atHand.Length
            ? atHand[number - firstAtHand]
            : known!.bindings[number < head ? number : number + known.bindings.Length - symbols.Length];
        return binding?.Symbol == symbols[number] ? binding : null;
    }

    /// <summary>
    /// Reads statements. A feed that depends on no other is bound right away, while it is in the processor's cache, by a binder of this
    /// thread's own: its binding does not depend on the order.
    /// </summary>
    private void Read(StatementSorts sorts, ReadOnlySpan<int> unread, Rig rig, Symbol?[] found)
    {
        var own = new FeedBinder(foundation, rig, new PathResolver(foundation, rig, null), _ => null);
        var (bag, acts) = (new DraftBag(), new ActsReader(foundation));
        var points = 0; // not yet added to the shared total
        foreach (var number in unread)
        {
            var statement = statements[number];
            var file = sorts.FileOf(number);
            Symbol? symbol = statement.Kind == NodeKind.Feed
                ? FeedSymbol.Read(file, statement, foundation.HomeOf(file), acts, bag)
                : BundleSymbol.Read(file, statement, acts, bag);
            if (symbol is null) continue;
            found[number] = symbol;
            var said = bag.IsEmpty ? null : bag.Drafts;
            if (said is not null) bag = new DraftBag();
            if (symbol is FeedSymbol feed && IsIndependent(feed) && Volatile.Read(ref pointsSideBySide) <= mostPoints)
            {
                var binding = own.Bind(feed, said);
                statement.Memo = atHand[number - head] = binding;
                points += binding.Points;
                if (points < TellPoints) continue;
                Interlocked.Add(ref pointsSideBySide, points);
                points = 0;
            }
            else if (said is not null)
                lock (gate) (findingsOfActs ??= []).Add(symbol, said);
        }
    }

    /// <summary>Whether a feed names only sockets.</summary>
    private static bool IsIndependent(FeedSymbol feed)
    {
        if (feed.Origin?.Tapped is not { Pick: { At: null, Path.Unit: not null } }) return false;
        foreach (var hop in feed.Hops)
            if (hop.Unit is null) return false;
        return true;
    }

    private void Bind(int first)
    {
        if (Before(first) is { Dependencies.IsEmpty: true } before && before.Foundation == foundation)
        {
            bindings[first] = Counted(first, before);
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
                if (isOpen![need]) SayCircle(need);
                else Enter(need);
                continue;
            }
            open.RemoveAt(open.Count - 1);
            needs.RemoveRange(firstNeed, needs.Count - firstNeed);
            isOpen![number] = false;
            bindings[number] ??= isFull ? LeftOut(number) : Counted(number, Bound(number));
        }

        void Enter(int number)
        {
            (isOpen ??= new bool[symbols.Length])[number] = true;
            open.Add((number, needs.Count, needs.Count));
            AddNeeds(symbols[number]);
        }
    }

    /// <summary>Whether the points exceed the plan's limit; reports it once, at the statement that exceeds it.</summary>
    private bool IsTooLarge(long count, Statement last)
    {
        if (isFull || count <= mostPoints) return isFull;
        isFull = true;
        Findings.Add(ChannelFindings.SignalsTooLarge(count, mostPoints), Anchors.OpenerOf(last));
        return true;
    }

    /// <summary>The binding, if there is room for its points.</summary>
    private FeedBinding Counted(int number, FeedBinding binding)
    {
        if (!isFull) pointCount += binding.Points;
        return IsTooLarge(pointCount, binding.Statement) ? LeftOut(number) : binding;
    }

    /// <summary>A binding that is unknown, as there is no room for its points.</summary>
    private FeedBinding LeftOut(int number) =>
        new(foundation, symbols[number])
        {
            Variants = new Variants(new FeedVariant(symbols[number].Acts, (symbols[number] as FeedSymbol)?.Elements ?? Elements.One) { IsUnknown = true }),
            Findings = FindingsOfActs(number) ?? [],
        };

    private FeedBinding Bound(int number)
    {
        var symbol = symbols[number];
        if (Before(number) is { } before && binder.StillHolds(before, symbol.File)) return before;
        var own = FindingsOfActs(number);
        var binding = symbol is FeedSymbol feed ? binder.Bind(feed, own) : binder.Bind((BundleSymbol)symbol, own);
        symbol.Statement.Memo = binding;
        return binding;
    }

    /// <summary>The findings about the acts that a signal names, made now or when it was read for an earlier version.</summary>
    private IReadOnlyList<Draft>? FindingsOfActs(int number) =>
        Before(number) is { } before ? before.FindingsOfActs : findingsOfActs?.GetValueOrDefault(symbols[number]);

    /// <summary>Lists the feeds and bundles that a feed or bundle starts from or contains.</summary>
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

    /// <summary>Reports a circle once, at the member whose name is alphabetically first, and leaves its members unknown.</summary>
    private void SayCircle(int start)
    {
        hasCircles = true;
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
            bindings[number] = new FeedBinding(foundation, symbol)
            {
                Variants = new Variants(new FeedVariant(symbol.Acts, elements) { IsUnknown = true }),
                Findings = [.. FindingsOfActs(number) ?? [], .. symbol == first ? (Draft[])[draft] : []],
            };
        }
    }

    private void BindInserts(StatementSorts sorts)
    {
        var count = pointCount;
        foreach (var (file, statement) in sorts.Of(NodeKind.Insert))
        {
            if (InsertStatement.Read(file, statement) is not { } insert) continue;
            var acts = foundation.ActsOf(insert.During, insert.File, statement, Findings);
            var binding = isFull ? LeftOut(statement, acts) : binder.Bind(insert, acts);
            count += binding.Points;
            Inserts.Add((insert, IsTooLarge(count, statement) ? LeftOut(statement, acts) : binding));
        }

        FeedBinding LeftOut(Statement statement, ActSet acts) =>
            new(foundation, statement) { Variants = new Variants(new FeedVariant(acts, Elements.One) { IsUnknown = true }) };
    }
}
