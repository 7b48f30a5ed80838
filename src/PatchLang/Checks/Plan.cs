using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>A compiled plan as the checks read it. Several checks may read it at the same time.</summary>
internal sealed class Plan(PlanFiles files, StatementSorts statements, Foundation foundation, Rig rig, SignalBinder signals, SignalGraph graph, ClockTree clocks, SignalFacts facts)
{
    // Usually few statements have findings, so that many are searched for one by one; a table is built only when there are more.
    private const int MostSearches = 16;

    private readonly Lock gate = new();
    private Dictionary<Statement, (int File, int Index)>? places;
    private Statement? lastSought;
    private (int File, int Index) lastPlace;
    private int searches;
    private List<(AllowStatement Allow, Statement? Next)>? allows;
    private Dictionary<Statement, List<AllowStatement>>? allowsAt;
    private NetworkLoads? loads;

    public PlanFiles Files { get; } = files;

    public Foundation Foundation { get; } = foundation;

    public Rig Rig { get; } = rig;

    public SignalBinder Signals { get; } = signals;

    public SignalGraph Graph { get; } = graph;

    public ClockTree Clocks { get; } = clocks;

    public SignalFacts Facts { get; } = facts;

    /// <summary>The network load: which streams each network carries.</summary>
    public NetworkLoads Loads => LazyInitializer.EnsureInitialized(ref loads, () => NetworkLoads.Of(Graph));

    /// <summary>The exceptions, each with the statement it belongs to.</summary>
    public List<(AllowStatement Allow, Statement? Next)> Allows => allows ?? LazyInitializer.EnsureInitialized(ref allows, FindAllows);

    /// <summary>The exceptions, by the statement they belong to.</summary>
    private Dictionary<Statement, List<AllowStatement>> AllowsAt => allowsAt ?? LazyInitializer.EnsureInitialized(ref allowsAt, () =>
    {
        var found = new Dictionary<Statement, List<AllowStatement>>(ReferenceEqualityComparer.Instance);
        foreach (var (allow, next) in Allows)
        {
            if (next is null) continue;
            if (!found.TryGetValue(next, out var here)) found.Add(next, here = []);
            here.Add(allow);
        }
        return found;
    });

    /// <summary>The result of each promise, in the order of the plan; filled in when they are checked.</summary>
    public List<Promise> Promises { get; } = [];

    /// <summary>The exceptions that covered a finding.</summary>
    public HashSet<AllowStatement> UsedAllows { get; } = new(ReferenceEqualityComparer.Instance);

    /// <summary>The file of a statement and its index there. Looked up only for statements with findings.</summary>
    public (int File, int Index) PlaceOf(Statement statement)
    {
        lock (gate)
        {
            if (ReferenceEquals(statement, lastSought)) return lastPlace;
            lastSought = statement;
            return lastPlace = ++searches <= MostSearches ? SearchFor(statement) : (places ??= AllPlaces())[statement];
        }
    }

    private (int File, int Index) SearchFor(Statement statement)
    {
        for (var f = 0; f < Files.Trees.Length; f++)
            if (Files.Trees[f].IndexOf(statement) is >= 0 and var index) return (f, index);
        throw new ArgumentException("The statement is none of this plan's.", nameof(statement));
    }

    private Dictionary<Statement, (int File, int Index)> AllPlaces()
    {
        var all = new Dictionary<Statement, (int, int)>(Files.Trees.Sum(t => t.Count), ReferenceEqualityComparer.Instance);
        for (var f = 0; f < Files.Trees.Length; f++)
            for (var i = 0; i < Files.Trees[f].Count; i++) all[Files.Trees[f][i]] = (f, i);
        return all;
    }

    /// <summary>Compares two places by their order in the plan.</summary>
    public int Compare(Anchor left, Anchor right)
    {
        var order = PlaceOf(left.Statement).CompareTo(PlaceOf(right.Statement));
        return order != 0 ? order : left.Span.Start.CompareTo(right.Span.Start);
    }

    /// <summary>Compares two edges by the order of their statements in the plan, then of their hops.</summary>
    public int CompareEdges(int left, int right)
    {
        var order = Graph.IsOfInsert(left) || Graph.IsOfInsert(right)
            ? PlaceOf(Graph.BindingOf(left).Statement).CompareTo(PlaceOf(Graph.BindingOf(right).Statement))
            : Graph.OwnerOf(left).CompareTo(Graph.OwnerOf(right)); // the graph holds signals in the order of the plan
        return order != 0 ? order : Graph.HopOf(left).Span.Start.CompareTo(Graph.HopOf(right).Span.Start);
    }

    /// <summary>Where an edge is written.</summary>
    public Anchor AnchorOf(int edge) => new(Graph.BindingOf(edge).Statement, Graph.HopOf(edge).Span);

    /// <summary>Where to report a node at one end of an edge: the origin if the feed starts there, else the hop.</summary>
    public Anchor AnchorAt(int edge, int node)
    {
        var binding = Graph.BindingOf(edge);
        if (node == Graph.FromOf(edge) && binding.Symbol is FeedSymbol { Origin: { } origin } && binding.Variants.Any(v => v.StartsAt(node)))
            return new Anchor(binding.Statement, origin.Span);
        return AnchorOf(edge);
    }

    /// <summary>The phrase that limits a message to some acts; empty where these are all acts.</summary>
    public string During(ActSet acts) =>
        acts.Covers(Foundation.AllActs) || Foundation.Acts.IsEmpty ? ""
        : " during " + string.Join(", ", Foundation.Acts.Where(a => acts.Has(a.Number)).Select(a => a.Name));

    /// <summary>Whether an <c>allow</c> at a statement covers a code. Marks it as used.</summary>
    public bool IsAllowed(string code, Statement statement)
    {
        if (Allows.Count == 0 || !AllowsAt.TryGetValue(statement, out var here)) return false;
        var isAllowed = false;
        foreach (var allow in here)
            if (allow.Code == code)
            {
                lock (gate) UsedAllows.Add(allow);
                isAllowed = true;
            }
        return isAllowed;
    }

    /// <summary>All statements of a kind that is neither a signal nor one of the declarations compiled before them, with their files.</summary>
    public IEnumerable<(PlanFile File, Statement Statement)> StatementsOf(NodeKind kind) => statements.Of(kind);

    private List<(AllowStatement, Statement?)> FindAllows()
    {
        var found = new List<(AllowStatement, Statement?)>();
        if (!statements.Of(NodeKind.Allow).Any()) return found;
        for (var f = 0; f < Files.Trees.Length; f++)
        {
            var tree = Files.Trees[f];
            var next = 0; // several in a row all belong to the statement after the last
            for (var i = 0; i < tree.Count; i++)
            {
                if (tree[i].Kind != NodeKind.Allow || AllowStatement.Read(Files.Files[f], tree[i]) is not { } allow) continue;
                next = Math.Max(next, i + 1);
                while (next < tree.Count && tree[next].Kind == NodeKind.Allow) next++;
                found.Add((allow, next < tree.Count ? tree[next] : null));
            }
        }
        return found;
    }
}
