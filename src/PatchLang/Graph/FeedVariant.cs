using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// A feed in a set of acts throughout which it is the same. A large plan has very many, mostly alike: one edge, or as many edges as
/// signals at each hop. To save memory, points are stored as nodes, stops are derived from the edges where possible, and
/// rarely used data is in a separate object.
/// </summary>
internal sealed class FeedVariant
{
    private const int FewElements = 16; // up to here nodes are searched one by one; beyond, a set is built on demand

    private readonly Edge only;
    private readonly Edge[]? several; // null if there is a single edge
    private Particulars? particulars;

    /// <summary>Creates a variant without edges.</summary>
    public FeedVariant(ActSet acts, Elements elements)
        : this(acts, elements, [], [])
    {
    }

    /// <param name="acts">The acts in which it holds.</param>
    /// <param name="elements">Its signals.</param>
    /// <param name="edges">The edges of all elements.</param>
    /// <param name="stops">The points passed, hop by hop, including filled-in ones; each row has one point per element, unknown if the element
    /// does not pass there.</param>
    public FeedVariant(ActSet acts, Elements elements, ReadOnlySpan<Edge> edges, ReadOnlySpan<GraphPoint[]> stops)
    {
        Acts = acts;
        Elements = elements;
        if (edges.Length == 1) only = edges[0];
        else several = edges.ToArray();
        if (!FollowEdges(stops)) Own.Stops = NodesOf(stops);
    }

    public ActSet Acts { get; }

    public Elements Elements { get; }

    public ReadOnlySpan<Edge> Edges => several is null ? new ReadOnlySpan<Edge>(in only) : several;

    /// <summary>Whether it starts at a socket, strip or bus, and not from another feed.</summary>
    public bool StartsAtSocket { get; init; }

    /// <summary>How many points it counts for, by the rules of <see cref="PointLimit"/>.</summary>
    public int Points { get; init; }

    /// <summary>Whether nothing is known of it, not even its width.</summary>
    public bool IsUnknown
    {
        get => particulars is { IsUnknown: true };
        init
        {
            if (value) Own.IsUnknown = value;
        }
    }

    /// <summary>For a bundle, what each element is called: its own name, or its feed's.</summary>
    public string[]? MemberNames
    {
        get => particulars?.MemberNames;
        init
        {
            if (value is not null) Own.MemberNames = value;
        }
    }

    /// <summary>For a bundle, the feed that each element belongs to, and its index there; a default value if it belongs to none.</summary>
    public (FeedVariant? Feed, int Element)[]? Members
    {
        get => particulars?.Members;
        init
        {
            if (value is not null) Own.Members = value;
        }
    }

    /// <summary>The stops that were filled in; null if none.</summary>
    public HashSet<int>? FilledInStops
    {
        get => particulars?.FilledInStops;
        init
        {
            if (value is not null) Own.FilledInStops = value;
        }
    }

    /// <summary>Nodes that something unresolved leads into.</summary>
    public List<int>? UnknownInto
    {
        get => particulars?.UnknownInto;
        init
        {
            if (value is not null) Own.UnknownInto = value;
        }
    }

    /// <summary>Where the elements end, if that is not their last stop.</summary>
    public End[]? OwnEnds
    {
        init
        {
            if (value is not null) Own.Ends = value;
        }
    }

    /// <summary>Where each element ends.</summary>
    public Ends Ends => new(this);

    /// <summary>The number of stops, including those that only some elements pass.</summary>
    public int StopCount =>
        particulars?.Stops is { } stops ? stops.Length / Math.Max(1, Elements.Count)
        : Edges.IsEmpty ? 0
        : Edges.Length / Elements.Count + 1;

    /// <summary>The node that an element passes at a stop; −1 if it does not pass there.</summary>
    public int NodeAt(int stop, int element) =>
        particulars?.Stops is { } stops ? stops[stop * Elements.Count + element]
        : stop == 0 ? Edges[element].From
        : Edges[(stop - 1) * Elements.Count + element].To;

    /// <summary>Whether a node is the first stop of an element.</summary>
    public bool StartsAt(int node)
    {
        if (StopCount == 0) return false;
        if (Elements.Count > FewElements) return (Own.Starts ??= Nodes(e => NodeAt(0, e))).Contains(node);
        for (var element = 0; element < Elements.Count; element++)
            if (NodeAt(0, element) == node) return true;
        return false;
    }

    /// <summary>Whether a node is the end of an element; of alternatives, that of the first.</summary>
    public bool EndsAt(int node)
    {
        if (Elements.Count > FewElements) return (Own.EndNodes ??= Nodes(e => EndOf(e).Node)).Contains(node);
        for (var element = 0; element < Elements.Count; element++)
            if (EndOf(element).Node == node) return true;
        return false;
    }

    /// <summary>The points of all elements at a stop.</summary>
    public GraphPoint[] PointsAt(int stop, Rig rig)
    {
        var points = new GraphPoint[Elements.Count];
        for (var element = 0; element < points.Length; element++) points[element] = rig.PointAt(NodeAt(stop, element));
        return points;
    }

    /// <summary>Where an element ends: as set explicitly, else its last stop.</summary>
    public End EndOf(int element) =>
        particulars?.Ends is { } ends ? ends[element]
        : (particulars?.Stops?.Length ?? Edges.Length) == 0 ? End.Unknown
        : new End(particulars?.Stops is { } stops ? stops[stops.Length - Elements.Count + element] : Edges[Edges.Length - Elements.Count + element].To);

    /// <summary>Whether some hop of an element could not be made, so that its way is not fully known.</summary>
    public bool IsBroken(int element)
    {
        if (EndOf(element).IsUnknown) return true;
        if (UnknownInto is not { } unknown) return false;
        for (var stop = 0; stop < StopCount; stop++)
            if (NodeAt(stop, element) is >= 0 and var node && unknown.Contains(node)) return true;
        return false;
    }

    // Several threads may ask at once: what each finds is the same, and the last one stays.
    private Particulars Own => particulars ?? Interlocked.CompareExchange(ref particulars, new Particulars(), null) ?? particulars;

    private HashSet<int> Nodes(Func<int, int> nodeOf)
    {
        var nodes = new HashSet<int>(Elements.Count);
        for (var element = 0; element < Elements.Count; element++) nodes.Add(nodeOf(element));
        return nodes;
    }

    /// <summary>Whether the edges lead from each stop to the next, element by element, so that the stops can be derived from them.</summary>
    private bool FollowEdges(ReadOnlySpan<GraphPoint[]> stops)
    {
        var edges = Edges;
        if (edges.IsEmpty) return stops.IsEmpty;
        if (edges.Length != (stops.Length - 1) * Elements.Count) return false;
        var edge = 0;
        for (var stop = 1; stop < stops.Length; stop++)
            for (var element = 0; element < Elements.Count; element++, edge++)
                if (edges[edge].From != stops[stop - 1][element].Node || edges[edge].To != stops[stop][element].Node) return false;
        return true;
    }

    private static int[] NodesOf(ReadOnlySpan<GraphPoint[]> stops)
    {
        var nodes = new List<int>();
        foreach (var stop in stops)
            foreach (var point in stop) nodes.Add(point.Node);
        return [.. nodes];
    }

    /// <summary>Data that few variants have.</summary>
    private sealed class Particulars
    {
        public bool IsUnknown { get; set; }

        /// <summary>The nodes passed, by stop and then by element; null if they can be derived from the edges.</summary>
        public int[]? Stops { get; set; }

        public End[]? Ends { get; set; }

        public string[]? MemberNames { get; set; }

        public (FeedVariant? Feed, int Element)[]? Members { get; set; }

        public HashSet<int>? FilledInStops { get; set; }

        public List<int>? UnknownInto { get; set; }

        /// <summary>The nodes at which elements start; null until first asked for.</summary>
        public HashSet<int>? Starts { get; set; }

        /// <summary>The nodes at which elements end; null until first asked for.</summary>
        public HashSet<int>? EndNodes { get; set; }
    }
}
