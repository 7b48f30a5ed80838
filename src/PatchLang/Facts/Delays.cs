using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>
/// The delay of each hop: the gear's figure for an internal route, the latency set for a network, that of a format's link, the
/// propagation along a cable, and a feed's deliberate delay, which counts at its last hop. Edges store indices, since few delays differ.
/// </summary>
public sealed class Delays
{
    private readonly SignalGraph graph;
    private volatile int[]? ofEdge;
    private readonly List<Delay> all = [Delay.None];
    private readonly Dictionary<Delay, int> numbers = new() { [Delay.None] = 0 };

    internal Delays(SignalGraph graph) => this.graph = graph;

    /// <summary>The delay of an edge. All are computed on first use.</summary>
    public Delay this[int edge] => all[(ofEdge ?? Fill())[edge]];

    /// <summary>Whether an edge includes a feed's deliberate delay.</summary>
    internal bool IsDeliberate(int edge) => graph.FeedOf(edge) is { Delay: > 0 } && graph.EndsOwnersWay(edge);

    private int[] Fill()
    {
        lock (all)
        {
            return ofEdge ??= WorkOut();
        }
    }

    private int[] WorkOut()
    {
        var filled = new int[graph.EdgeCount];
        var hasLongCables = false;
        foreach (var cable in graph.Rig.Cables) hasLongCables |= CableDelay.Of(Math.Max(0, cable.Length ?? 0)) > 0;
        var (owner, deliberate) = (-1, 0.0);
        var memo = default(Memo);
        for (var edge = 0; edge < filled.Length; edge++)
        {
            if (graph.OwnerOf(edge) != owner)
            {
                owner = graph.OwnerOf(edge);
                deliberate = graph.FeedOf(edge)?.Delay ?? 0;
                memo = default; // another owner may share the hop in acts with different cables
            }
            var (hop, from, to) = (graph.HopOf(edge), graph.FromOf(edge), graph.ToOf(edge));
            if (!memo.Holds(hop, from, to)) memo = Work(edge, hop, from, to, hasLongCables);
            filled[edge] = deliberate > 0 && graph.EndsOwnersWay(edge) ? NumberOf(all[memo.Number] + new Delay(deliberate, deliberate)) : memo.Number;
        }
        return filled;
    }

    private int NumberOf(Delay delay)
    {
        if (numbers.TryGetValue(delay, out var number)) return number;
        numbers.Add(delay, all.Count);
        all.Add(delay);
        return all.Count - 1;
    }

    private Memo Work(int edge, Hop hop, int from, int to, bool hasLongCables)
    {
        var (leaves, arrives) = (graph.Rig.PointOf(from), graph.Rig.PointOf(to));
        var isByChannel = false;
        var delay = hop.Kind switch
        {
            HopKind.Route => RouteDelay.Of(hop.Route!, leaves, arrives, out isByChannel),
            HopKind.Network => OverNetwork(hop.Network!, arrives),
            _ => OverLink(edge, leaves, arrives, hasLongCables),
        };
        isByChannel |= hasLongCables && hop.IsLink;
        var number = NumberOf(delay);
        return isByChannel ? new Memo(hop, from, from, to, to, number) : new Memo(hop, First(leaves), Last(leaves), First(arrives), Last(arrives), number);

        static int First(GraphPoint point) => point.Node - point.Channel;

        static int Last(GraphPoint point) => First(point) + point.Socket.CountOn(point.Side) - 1;
    }

    private static Delay OverNetwork(Network network, GraphPoint arrives) =>
        (network.LatencyAt(arrives.Device, arrives.Socket) ?? network.Format.Latency) is { } latency
            ? new Delay(latency, latency)
            : new Delay(0, 0, new Unsettled("latency", network.Symbol));

    private Delay OverLink(int edge, GraphPoint leaves, GraphPoint arrives, bool hasLongCables)
    {
        var latency = arrives.Socket.Format?.Latency ?? 0;
        if (hasLongCables && graph.Rig.CableOf(leaves, arrives, graph.ActsOf(edge)) is { Length: { } length }) latency += CableDelay.Of(Math.Max(0, length));
        return new Delay(latency, latency);
    }

    /// <summary>The hop computed last, and the range of channels for which its delay holds.</summary>
    private readonly record struct Memo(Hop? Hop, int FirstFrom, int LastFrom, int FirstTo, int LastTo, int Number)
    {
        public bool Holds(Hop hop, int from, int to) =>
            ReferenceEquals(hop, Hop) && from >= FirstFrom && from <= LastFrom && to >= FirstTo && to <= LastTo;
    }
}
