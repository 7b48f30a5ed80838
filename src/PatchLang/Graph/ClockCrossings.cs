using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>A place where a used digital hop passes from one clock to another with no resampler between: however many channels do.</summary>
/// <param name="Edge">The first of the hops.</param>
/// <param name="From">Where it leaves.</param>
/// <param name="To">Where it arrives.</param>
/// <param name="Left">The clock that it leaves by.</param>
/// <param name="Right">The clock that it is taken by.</param>
internal readonly record struct ClockCrossing(int Edge, GraphPoint From, GraphPoint To, Clock Left, Clock Right)
{
    /// <summary>From which socket to which, as one number.</summary>
    public long Key => KeyOf(From, To);

    public static long KeyOf(GraphPoint from, GraphPoint to) => (long)SocketOf(from) << 32 | (uint)SocketOf(to);

    // A side of a socket is known by its first node.
    private static int SocketOf(GraphPoint point) => point.Device.NodeOf(point.Socket, point.Side, 0);
}

/// <summary>The crossings of some acts, from one walk over the signal graph.</summary>
internal sealed class ClockCrossings
{
    private readonly List<ClockCrossing> all = [];
    private readonly HashSet<Network> usedNetworks = [];

    private ClockCrossings()
    {
    }

    /// <summary>Each pair of sockets once.</summary>
    public IReadOnlyList<ClockCrossing> All => all;

    /// <summary>The digital networks that signals go over.</summary>
    public IReadOnlySet<Network> UsedNetworks => usedNetworks;

    public static ClockCrossings Of(Rig rig, SignalGraph graph, ActSet acts)
    {
        var found = new ClockCrossings();
        var seen = new HashSet<long>();
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.ClockCrossing))
        {
            if (!graph.ActsOf(edge).Meets(acts)) continue;
            var hop = graph.HopOf(edge);
            // Most hops stay inside of one device, or are not digital, and are told by that alone.
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
