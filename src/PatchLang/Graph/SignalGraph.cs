using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// Every hop of every channel: nodes are channels at points of the rig, edges are hops. Acts share the nodes; an edge
/// belongs to the acts of its feed. Immutable. Edges are numbered; those out of a node, and those into it, are lists of numbers.
/// </summary>
public sealed class SignalGraph
{
    private readonly int[] from;
    private readonly int[] to;
    private readonly Hop[] hops;
    private readonly int[] owners;
    private readonly FeedVariant[] variants;
    private readonly FeedBinding[] bindings;
    private readonly int[] outStarts;
    private readonly int[] outEdges;
    private readonly int[] inStarts;
    private readonly int[] inEdges;
    private int[]? meetings;

    internal SignalGraph(Rig rig, SignalPages signals)
    {
        (Rig, Signals) = (rig, signals);
        var (count, variantCount) = (signals.EdgeCount, signals.VariantCount);
        from = new int[count];
        to = new int[count];
        hops = new Hop[count];
        owners = new int[count];
        variants = new FeedVariant[variantCount];
        bindings = new FeedBinding[variantCount];
        var (edge, owner) = (0, 0);
        foreach (var binding in signals.All)
            foreach (var variant in binding.Variants)
            {
                foreach (var each in variant.Edges)
                {
                    (from[edge], to[edge], hops[edge], owners[edge]) = (each.From, each.To, each.Hop, owner);
                    edge++;
                }
                variants[owner] = variant;
                bindings[owner] = binding;
                owner++;
                if (variant.UnknownInto is { } unknown)
                    foreach (var node in unknown) UnknownSources.Add(node);
            }
        (outStarts, outEdges) = Index(from, rig.NodeCount);
        (inStarts, inEdges) = Index(to, rig.NodeCount);
    }

    /// <summary>The equipment that the nodes belong to.</summary>
    public Rig Rig { get; }

    /// <summary>The signals that the edges belong to, and what there is to look at in them.</summary>
    internal SignalPages Signals { get; }

    /// <summary>The number of nodes; most have no edge.</summary>
    public int NodeCount => Rig.NodeCount;

    /// <summary>The number of edges.</summary>
    public int EdgeCount => from.Length;

    /// <summary>Nodes that something leads into that could not be resolved: what they hear is not known in full.</summary>
    internal HashSet<int> UnknownSources { get; } = [];

    /// <summary>The node an edge leaves.</summary>
    public int FromOf(int edge) => from[edge];

    /// <summary>The node an edge arrives at.</summary>
    public int ToOf(int edge) => to[edge];

    /// <summary>The hop that an edge is one channel of.</summary>
    public Hop HopOf(int edge) => hops[edge];

    /// <summary>The same together with the edge's owner: owners share hops that are alike, so that a hop alone does not tell which of them wrote it.</summary>
    internal (int Owner, Hop Hop) OwnHopOf(int edge) => (owners[edge], hops[edge]);

    /// <summary>The acts in which an edge is there.</summary>
    public ActSet ActsOf(int edge) => variants[owners[edge]].Acts;

    /// <summary>The feed that an edge belongs to; null for an insert.</summary>
    public FeedSymbol? FeedOf(int edge) => bindings[owners[edge]].Symbol as FeedSymbol;

    internal FeedBinding BindingOf(int edge) => bindings[owners[edge]];

    /// <summary>The place of an edge's owner, a feed in acts in which nothing about it differs, among all owners: in the order of the plan, inserts last.</summary>
    internal int OwnerOf(int edge) => owners[edge];

    /// <summary>Whether an edge is the last of its owner's own way.</summary>
    internal bool EndsOwnersWay(int edge)
    {
        foreach (var end in variants[owners[edge]].Ends)
            if (end.Node == to[edge]) return true;
        return false;
    }

    internal bool IsOfInsert(int edge) => bindings[owners[edge]].Symbol is null;

    /// <summary>The edges out of a node.</summary>
    public ReadOnlySpan<int> OutOf(int node) => outEdges.AsSpan(outStarts[node], outStarts[node + 1] - outStarts[node]);

    /// <summary>The edges into a node.</summary>
    public ReadOnlySpan<int> Into(int node) => inEdges.AsSpan(inStarts[node], inStarts[node + 1] - inStarts[node]);

    /// <summary>The nodes that several edges lead into, in one act or in different ones.</summary>
    internal ReadOnlySpan<int> Meetings => LazyInitializer.EnsureInitialized(ref meetings, FindMeetings);

    /// <summary>Whether a node has an edge.</summary>
    public bool IsUsed(int node) => outStarts[node] < outStarts[node + 1] || inStarts[node] < inStarts[node + 1];

    private int[] FindMeetings()
    {
        var found = new List<int>();
        for (var node = 0; node < NodeCount; node++)
            if (inStarts[node + 1] - inStarts[node] > 1) found.Add(node);
        return [.. found];
    }

    private static (int[] Starts, int[] Edges) Index(int[] nodes, int nodeCount)
    {
        // First where each node's edges end; filled in from the last edge on, that becomes where they start.
        var starts = new int[nodeCount + 1];
        foreach (var node in nodes) starts[node]++;
        for (var i = 1; i <= nodeCount; i++) starts[i] += starts[i - 1];
        var edges = new int[nodes.Length];
        for (var edge = nodes.Length - 1; edge >= 0; edge--) edges[--starts[nodes[edge]]] = edge;
        return (starts, edges);
    }
}
