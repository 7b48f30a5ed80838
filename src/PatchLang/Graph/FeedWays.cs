using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Graph;

/// <summary>All signal paths of a plan. Built on demand, since no check needs them.</summary>
internal sealed class FeedWays
{
    private readonly Dictionary<FeedVariant, FeedWay> wayOf = new(ReferenceEqualityComparer.Instance);

    /// <param name="rig">The equipment.</param>
    /// <param name="signals">The feeds, bundles and inserts.</param>
    /// <param name="placeOf">Maps an anchor in a statement to a place in its file.</param>
    public FeedWays(Rig rig, SignalBinder signals, Func<Anchor, Place> placeOf)
    {
        Rig = rig;
        PlaceOf = placeOf;
        var ways = ImmutableArray.CreateBuilder<FeedWay>(signals.Bindings.Length + signals.Inserts.Count);
        var firstEdge = 0;
        // In the order in which the graph numbers owners and their edges.
        foreach (var binding in signals.Bindings) Add(binding, binding.Symbol!.Name);
        foreach (var (insert, binding) in signals.Inserts)
            Add(binding, insert.Label ?? insert.Statement.Text.Slice(insert.Point.Span.Start, insert.Point.Span.Length).ToString());
        All = ways.DrainToImmutable();

        void Add(FeedBinding binding, string name)
        {
            foreach (var variant in binding.Variants)
            {
                var way = new FeedWay(this, ways.Count, binding, variant, firstEdge, name);
                ways.Add(way);
                wayOf.Add(variant, way);
                firstEdge += variant.Edges.Length;
            }
        }
    }

    public Rig Rig { get; }

    public ImmutableArray<FeedWay> All { get; }

    public int Count => All.Length;

    public Func<Anchor, Place> PlaceOf { get; }

    public ImmutableArray<WayMember> MembersOf(FeedWay way, FeedBinding binding, FeedVariant variant)
    {
        var found = ImmutableArray.CreateBuilder<WayMember>();
        switch (binding.Symbol)
        {
            case BundleSymbol when variant.Members is { } members:
                for (var i = 0; i < members.Length; i++)
                {
                    var end = i < variant.Ends.Length ? variant.Ends[i] : End.Unknown;
                    if (!end.IsAbsent) found.Add(new WayMember(members[i].Feed is { } feed ? wayOf.GetValueOrDefault(feed) : null, members[i].Element, Rig.PointAt(end.Node), [i], Tap.Unstated, null, null));
                }
                break;
            case FeedSymbol { Origin.Tapped: { } pick } when !variant.StartsAtSocket:
                AddInOrder(pick);
                break;
            case FeedSymbol { Origin: EitherOrigin either }:
                foreach (var choice in either.Choices) AddInOrder(choice);
                break;
            case FeedSymbol { Origin: SumOrigin sum }:
                AddMembers(sum);
                break;
        }
        return found.DrainToImmutable();

        // Element by element, in order.
        void AddInOrder(TappedExpression tapped)
        {
            var place = 0;
            foreach (var (from, element) in Picked(binding, variant, tapped.Pick))
            {
                var (point, edge) = from is null ? (default, -1) : Taken(way, place, from, element);
                var hop = edge < 0 ? null : variant.Edges[edge - way.FirstEdge].Hop;
                if (from?.IsAbsent(element) != true) found.Add(new WayMember(from, element, point, [place], hop?.Tap ?? tapped.Tap, hop?.Gain, hop?.Alternatives));
                place++;
            }
        }

        void AddMembers(SumOrigin sum)
        {
            if (variant.StopCount == 0) return;
            var placeOf = new Dictionary<int, int>();
            for (var i = 0; i < variant.Elements.Count; i++)
                if (variant.NodeAt(0, i) is >= 0 and var node) placeOf.TryAdd(node, i);
            var into = new Dictionary<int, List<Edge>>();
            foreach (var edge in variant.Edges)
                if (placeOf.ContainsKey(edge.To)) (into.TryGetValue(edge.From, out var list) ? list : into[edge.From] = []).Add(edge);
            var told = new HashSet<int>();
            foreach (var member in sum.Members)
            {
                if (member.Tapped is { } tapped) Add(tapped.Pick);
                if (member.Either is { } choices)
                    foreach (var choice in choices.Choices) Add(choice.Pick);
            }
            // The remaining nodes belong to no feed: sockets named in the sum.
            foreach (var from in into.Keys)
                if (!told.Contains(from)) Tell(null, 0, from);

            void Add(PickExpression pick)
            {
                foreach (var (from, element) in Picked(binding, variant, pick))
                {
                    if (from is null) continue;
                    foreach (var node in NodesOf(from, element))
                    {
                        if (!into.ContainsKey(node)) continue;
                        told.Add(node);
                        Tell(from, element, node);
                        break;
                    }
                }
            }

            void Tell(FeedWay? from, int element, int node)
            {
                var edges = into[node];
                found.Add(new WayMember(from, element, Rig.PointOf(node), [.. edges.Select(e => placeOf[e.To]).Distinct().Order()], edges[0].Hop.Tap, edges[0].Hop.Gain, edges[0].Hop.Alternatives));
            }
        }
    }

    /// <summary>Where a way picks up another feed's element, and the edge by which it continues from there; −1 if there is none.</summary>
    private (GraphPoint Point, int Edge) Taken(FeedWay taker, int place, FeedWay from, int element)
    {
        var variant = taker.Variant;
        if (variant.StopCount == 0 || place >= variant.Elements.Count) return (default, -1);
        var next = variant.StopCount > 1 ? variant.NodeAt(1, place) : -1;
        var start = variant.NodeAt(0, place);
        var isStart = false;
        foreach (var node in NodesOf(from, element))
        {
            if (next >= 0 && taker.EdgeBetween(node, next) is >= 0 and var edge) return (Rig.PointOf(node), edge);
            isStart |= start >= 0 && node == start;
        }
        return (isStart ? Rig.PointOf(start) : from.EndsOf(element).FirstOrDefault(), -1);
    }

    /// <summary>The nodes at which a feed's element can be picked up: its ends first, then the stops before them.</summary>
    private static IEnumerable<int> NodesOf(FeedWay way, int element)
    {
        foreach (var end in way.EndsOf(element)) yield return end.Node;
        for (var i = way.Variant.StopCount - 1; i >= 0; i--)
            if (way.Variant.NodeAt(i, element) is >= 0 and var node) yield return node;
    }

    /// <summary>The elements of feeds that a pick names, with bundles flattened; a null way if an element belongs to none.</summary>
    private IEnumerable<(FeedWay? Way, int Element)> Picked(FeedBinding binding, FeedVariant variant, PickExpression pick)
    {
        if (binding.Dependencies.FirstOrDefault(d => ReferenceEquals(d.Path, pick.Path)).Bindings is not { IsDefaultOrEmpty: false } bindings) yield break;
        FeedVariant? named = null;
        foreach (var candidate in bindings) named ??= candidate?.In(variant.Acts);
        if (named is null || named.IsUnknown) yield break;
        IEnumerable<int> chosen = Enumerable.Range(0, named.Elements.Count);
        if (pick.Path.Steps[^1].Index is { } index)
        {
            var symbol = bindings.First(b => b?.In(variant.Acts) == named)!.Symbol!;
            if (Indexes.Choose(index, named.Elements, symbol, binding.Statement, new DraftBag()) is not { } some) yield break;
            chosen = some;
        }
        foreach (var element in chosen)
            if (named.Members is not { } members) yield return (wayOf.GetValueOrDefault(named), element);
            else if (element < members.Length && members[element].Feed is { } feed) yield return (wayOf.GetValueOrDefault(feed), members[element].Element);
            else yield return (null, element);
    }
}
