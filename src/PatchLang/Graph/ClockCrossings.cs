using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// A pair of sockets between which digital audio passes from one clock to another
/// without a resampler. One entry per pair, however many channels there are.
/// </summary>
/// <param name="Edge">The first edge between the two.</param>
/// <param name="From">The sending end.</param>
/// <param name="To">The receiving end.</param>
/// <param name="Left">The clock of the sending end.</param>
/// <param name="Right">The clock of the receiving end.</param>
internal readonly record struct ClockCrossing(int Edge, GraphPoint From, GraphPoint To, Clock Left, Clock Right)
{
    /// <summary>Identifies the pair of sockets.</summary>
    public long Key => KeyOf(From, To);

    public static long KeyOf(GraphPoint from, GraphPoint to) => (long)SocketOf(from) << 32 | (uint)SocketOf(to);

    // The first node of a socket on a side identifies both.
    private static int SocketOf(GraphPoint point) => point.Device.NodeOf(point.Socket, point.Side, 0);
}

/// <summary>The clock crossings in some acts, found in one pass over the signal graph.</summary>
internal sealed class ClockCrossings
{
    private readonly List<ClockCrossing> all = [];
    private readonly HashSet<Network> usedNetworks = [];

    private ClockCrossings()
    {
    }

    /// <summary>One entry per pair of sockets.</summary>
    public IReadOnlyList<ClockCrossing> All => all;

    /// <summary>The digital networks that signals use.</summary>
    public IReadOnlySet<Network> UsedNetworks => usedNetworks;

    public static ClockCrossings Of(Rig rig, SignalGraph graph, ActSet acts)
    {
        var found = new ClockCrossings();
        var seen = new HashSet<long>();
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.ClockCrossing))
        {
            if (!graph.ActsOf(edge).Meets(acts)) continue;
            var hop = graph.HopOf(edge);
            // Rule out most hops cheaply: those inside one device, and those that are not digital.
            if (hop.IsLink && rig.SocketOf(graph.FromOf(edge)).Format is not { IsDigital: true }) continue;
            if (!hop.IsLink && rig.DeviceOf(graph.FromOf(edge)) == rig.DeviceOf(graph.ToOf(edge))) continue;
            var (from, to) = (rig.PointOf(graph.FromOf(edge)), rig.PointOf(graph.ToOf(edge)));
            if (hop.IsLink)
            {
                if (to.Socket.Resamples) continue;
                if (hop.Network is { } network) found.usedNetworks.Add(network);
            }
            else if (from.Device.Host is not null && from.Side == Side.In && from.Socket.Resamples) continue; // the card's input resamples
            if (!seen.Add(ClockCrossing.KeyOf(from, to))) continue;
            if (rig.ClockOf(from.Device, from.Socket) is { } left && rig.ClockOf(to.Device, to.Socket) is { } right && left != right)
                found.all.Add(new ClockCrossing(edge, from, to, left, right));
        }
        return found;
    }
}
