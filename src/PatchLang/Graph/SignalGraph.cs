using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// The signal graph. Nodes are channels at points of the rig, edges are hops of one channel each. All acts share the nodes; an edge
/// exists in the acts of its feed. Edges are numbered, and adjacency lists hold their numbers. Immutable.
/// </summary>
public sealed class SignalGraph
{
    private readonly int[] from;
    private readonly int[] to;
    private readonly Hop[] hops;
    private readonly int[] owners;
    private readonly FeedVariant[] variants;
    private readonly FeedBinding[] bindings;
    private readonly EdgeLists outOf;
    private readonly EdgeLists into;
    private readonly int firstOfInserts;
    private readonly Lazy<bool> hasCircles;

    /// <param name="rig">The equipment.</param>
    /// <param name="signals">The signals.</param>
    /// <param name="before">The graph of the previous version, if it had the same equipment; unchanged parts are reused.</param>
    internal SignalGraph(Rig rig, SignalPages signals, SignalGraph? before)
    {
        (Rig, Signals) = (rig, signals);
        // The changed signals form one range: before it everything stays, and after it the numbers are shifted.
        var (all, known) = (signals.All, before?.Signals.All ?? []);
        var (head, most) = (0, Math.Min(all.Length, known.Length));
        while (head < most && all[head] == known[head]) head++;
        var tail = 0;
        while (tail < most - head && all[^(tail + 1)] == known[^(tail + 1)]) tail++;
        var (first, end) = (signals.Ahead(head), signals.Ahead(all.Length - tail));
        var endBefore = before?.Signals.Ahead(known.Length - tail) ?? default;

        var count = end.Edges - first.Edges;
        var (newFrom, newTo, newHops, newOwners) = (new int[count], new int[count], new Hop[count], new int[count]);
        var newVariants = new FeedVariant[end.Variants - first.Variants];
        var (edge, owner) = (0, 0);
        foreach (var binding in all.AsSpan(head..^tail))
            foreach (var variant in binding.Variants)
            {
                foreach (var each in variant.Edges)
                {
                    (newFrom[edge], newTo[edge], newHops[edge], newOwners[edge]) = (each.From, each.To, each.Hop, first.Variants + owner);
                    edge++;
                }
                newVariants[owner++] = variant;
            }
        from = Spliced(before?.from, first.Edges, endBefore.Edges, newFrom);
        to = Spliced(before?.to, first.Edges, endBefore.Edges, newTo);
        hops = Spliced(before?.hops, first.Edges, endBefore.Edges, newHops);
        owners = Spliced(before?.owners, first.Edges, endBefore.Edges, newOwners);
        var shift = end.Variants - endBefore.Variants;
        if (before is not null && shift != 0 && owners == before.owners) owners = [.. owners];
        if (before is not null && shift != 0)
            foreach (ref var moved in owners.AsSpan(end.Edges)) moved += shift;
        variants = Spliced(before?.variants, first.Variants, endBefore.Variants, newVariants);
        bindings = signals.Have(SignalTraits.Parted) ? BindingOfEach(all, variants.Length) : all;
        foreach (var binding in signals.Near(SignalTraits.UnknownInto))
            foreach (var variant in binding.Variants)
                if (variant.UnknownInto is { } unknown) UnknownSources.UnionWith(unknown);
        firstOfInserts = from.Length;
        while (firstOfInserts > 0 && BindingOf(firstOfInserts - 1).Symbol is null) firstOfInserts--;

        // A few changed edges are spliced in; for many, the lists are rebuilt.
        if (before is not null && count + endBefore.Edges - first.Edges < from.Length / 4)
        {
            outOf = before.outOf.With(first.Edges, before.from.AsSpan(first.Edges..endBefore.Edges), newFrom);
            into = before.into.With(first.Edges, before.to.AsSpan(first.Edges..endBefore.Edges), newTo);
            if (before.hasCircles is { IsValueCreated: true, Value: false })
            {
                hasCircles = new Lazy<bool>(() => this.HaveCircles(first.Edges, end.Edges));
                return;
            }
        }
        else
        {
            outOf = EdgeLists.Of(from, rig.NodeCount);
            into = EdgeLists.Of(to, rig.NodeCount);
        }
        hasCircles = new Lazy<bool>(() => this.NodesInCircles(rig.AllActs).Count > 0);
    }

    /// <summary>The rig that the nodes belong to.</summary>
    public Rig Rig { get; }

    /// <summary>The signals that the edges belong to, in pages with their traits.</summary>
    internal SignalPages Signals { get; }

    /// <summary>The number of nodes; most have no edge.</summary>
    public int NodeCount => Rig.NodeCount;

    /// <summary>The number of edges.</summary>
    public int EdgeCount => from.Length;

    /// <summary>Nodes that something unresolved leads into: what arrives there is not fully known.</summary>
    internal HashSet<int> UnknownSources { get; } = [];

    /// <summary>The node an edge leaves.</summary>
    public int FromOf(int edge) => from[edge];

    /// <summary>The node an edge arrives at.</summary>
    public int ToOf(int edge) => to[edge];

    /// <summary>The hop of an edge, which it shares with other channels.</summary>
    public Hop HopOf(int edge) => hops[edge];

    /// <summary>An edge's hop and its owner: owners share equal hops, so the hop alone does not tell which of them wrote it.</summary>
    internal (int Owner, Hop Hop) OwnHopOf(int edge) => (owners[edge], hops[edge]);

    /// <summary>The acts in which an edge exists.</summary>
    public ActSet ActsOf(int edge) => variants[owners[edge]].Acts;

    /// <summary>The feed that an edge belongs to; null for an insert.</summary>
    public FeedSymbol? FeedOf(int edge) => bindings[owners[edge]].Symbol as FeedSymbol;

    internal FeedBinding BindingOf(int edge) => bindings[owners[edge]];

    /// <summary>
    /// The number of an edge's owner, which is a variant of a feed, bundle or
    /// insert. Owners are numbered in the order of the plan, inserts last.
    /// </summary>
    internal int OwnerOf(int edge) => owners[edge];

    /// <summary>Whether an edge leads to an end of its owner.</summary>
    internal bool EndsOwnersWay(int edge) => variants[owners[edge]].EndsAt(to[edge]);

    internal bool IsOfInsert(int edge) => edge >= firstOfInserts;

    /// <summary>The edges out of a node.</summary>
    public ReadOnlySpan<int> OutOf(int node) => outOf[node];

    /// <summary>The edges into a node.</summary>
    public ReadOnlySpan<int> Into(int node) => into[node];

    /// <summary>The nodes with several incoming edges in one act.</summary>
    internal IEnumerable<int> Meetings => into.Meetings(this);

    /// <summary>Whether there is a cycle, with the edges of all acts taken together.</summary>
    internal bool HasCircles => hasCircles.Value;

    /// <summary>Whether a node has an edge.</summary>
    public bool IsUsed(int node) => outOf[node].Length > 0 || into[node].Length > 0;

    /// <summary>An array with a range replaced; the same array if that changes nothing.</summary>
    private static T[] Spliced<T>(T[]? row, int first, int end, T[] stretch)
    {
        if (row is null || (first == 0 && end == row.Length)) return stretch;
        if (row.AsSpan(first..end).SequenceEqual(stretch)) return row;
        var spliced = new T[row.Length - (end - first) + stretch.Length];
        Array.Copy(row, spliced, first);
        stretch.CopyTo(spliced, first);
        Array.Copy(row, end, spliced, first + stretch.Length, row.Length - end);
        return spliced;
    }

    private static FeedBinding[] BindingOfEach(FeedBinding[] all, int variantCount)
    {
        var found = new FeedBinding[variantCount];
        var owner = 0;
        foreach (var binding in all)
            foreach (var _ in binding.Variants) found[owner++] = binding;
        return found;
    }
}
