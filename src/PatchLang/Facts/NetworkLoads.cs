using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>
/// The load of every network of a plan, for each set of acts with the same hops over networks. Gear determines how channels form
/// streams: blocks of a fixed size, sent once by multicast, or once per receiver by unicast. A receiver takes one stream of each
/// block that it uses any channel of. A second leg carries the same streams.
/// </summary>
public sealed class NetworkLoads
{
    private NetworkLoads(ImmutableArray<NetworkLoad> all) => All = all;

    /// <summary>The loads, by network in the order of the plan, and then by act.</summary>
    public ImmutableArray<NetworkLoad> All { get; }

    /// <summary>Computes the loads from the hops of a plan.</summary>
    public static NetworkLoads Of(SignalGraph graph)
    {
        ArgumentNullException.ThrowIfNull(graph);
        var rig = graph.Rig;
        if (rig.Networks.IsEmpty) return new NetworkLoads([]);
        var blocks = BlocksOf(graph);
        var by = new HashSet<ActSet>(rig.Networks.Select(n => n.Symbol.Acts));
        foreach (var block in blocks)
            foreach (var receiver in block.Receivers) by.Add(receiver.Acts);
        var classes = ActClasses.Split(rig.AllActs, by);
        var profiles = rig.Networks.Select(StreamProfile.Of).ToArray();
        var loads = rig.Networks.SelectMany(network => classes
            .Where(acts => network.Symbol.Acts.Meets(acts))
            .Select(acts => new Builder(rig, network, acts, profiles).Build(blocks)));
        return new NetworkLoads([.. loads]);
    }

    /// <summary>Channels that leave a port in one stream, and the receivers of any of them.</summary>
    private sealed record Block(Network Network, Device Device, Socket Socket, int Number, int First, int Channels, int Edge)
    {
        public List<(Connector Port, ActSet Acts)> Receivers { get; } = [];

        /// <summary>Whether the number of channels per stream is not stated.</summary>
        public bool IsUnknown => Channels == 0;
    }

    private static List<Block> BlocksOf(SignalGraph graph)
    {
        var rig = graph.Rig;
        var blocks = new List<Block>();
        var known = new Dictionary<(Network, Device, Socket, int First), Block>();
        (int Owner, Hop?) last = default;
        (int First, int End) froms = default, tos = default;
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.Network))
        {
            var own = graph.OwnHopOf(edge);
            var hop = own.Hop;
            if (hop.Kind != HopKind.Network) continue;
            var (from, to) = (graph.FromOf(edge), graph.ToOf(edge));
            // Consecutive channels of a hop mostly belong to the same stream, and go to the same port.
            if (own == last && from >= froms.First && from < froms.End && to >= tos.First && to < tos.End) continue;
            last = own;
            var (sender, receiver) = (rig.PointOf(from), rig.PointOf(to));
            var number = sender.Connector.Number;
            var (first, channels) = StreamAt(sender.Socket, sender.Channel);
            froms = Nodes(sender, first, Math.Max(1, channels));
            var per = receiver.Socket.PerConnector(receiver.Side);
            tos = Nodes(receiver, receiver.Channel / per * per, per);
            var key = (hop.Network!, sender.Device, sender.Socket, first);
            if (!known.TryGetValue(key, out var block))
            {
                block = new Block(hop.Network!, sender.Device, sender.Socket, number, first, channels, edge);
                known.Add(key, block);
                blocks.Add(block);
            }
            Take(block.Receivers, receiver.Connector, graph.ActsOf(edge));
        }
        return blocks;

        static (int First, int End) Nodes(GraphPoint point, int first, int count)
        {
            var start = point.Device.NodeOf(point.Socket, point.Side, first);
            return (start, start + Math.Min(count, point.Socket.CountOn(point.Side) - first));
        }

        static void Take(List<(Connector Port, ActSet Acts)> receivers, Connector port, ActSet acts)
        {
            var at = receivers.FindIndex(r => r.Port == port);
            if (at < 0) receivers.Add((port, acts));
            else if ((receivers[at].Acts | acts) is var all && all != receivers[at].Acts) receivers[at] = (port, all);
        }
    }

    /// <summary>The stream that a channel is part of: its first channel and its number of channels, 0 if that is unknown.</summary>
    internal static (int First, int Channels) StreamAt(Socket socket, int channel)
    {
        var per = socket.PerConnector(Side.Out);
        var start = channel / per * per;
        // With an unstated block size, all channels of a connector count as one unknown stream.
        if (StreamProfile.Count(socket.Settings["block"]) is not { } size) return (start, 0);
        var first = start + (channel - start) / size * size;
        return (first, Math.Min(first + size, Math.Min(start + per, socket.CountOn(Side.Out))) - first);
    }

    private sealed class Builder(Rig rig, Network network, ActSet acts, StreamProfile[] profiles)
    {
        private readonly StreamProfile profile = profiles[network.Index];
        private readonly List<NetworkStream> streams = [];
        private readonly List<PortLoad> ports = [];
        private readonly Dictionary<(Device, Socket, int), PortLoad> portOf = [];
        private readonly Dictionary<PortLoad, List<NetworkStream>> sends = [];
        private readonly Dictionary<PortLoad, List<NetworkStream>> takes = [];

        public NetworkLoad Build(List<Block> blocks)
        {
            foreach (var member in network.Members)
            {
                if (!member.Device.Acts.Meets(acts)) continue;
                var count = Math.Max(1, Math.Max(NetworkLoad.ConnectorsOf(member.Socket, Side.In), NetworkLoad.ConnectorsOf(member.Socket, Side.Out)));
                for (var number = 0; number < count; number++) Port(member.Device, member.Socket, number);
            }
            foreach (var block in blocks)
                if (block.Network == network) Add(block, block.Device, block.Socket, port => port);
                // The second leg carries what leaves a port whose twin is a member of it.
                else if (block.Network.Group == network.Group && TwinOn(block.Device, block.Socket) is { } twin) Add(block, block.Device, twin, port => TwinOn(port.Device, port.Socket) is { } its ? port with { Socket = its } : null);
            foreach (var port in ports)
            {
                if (sends.TryGetValue(port, out var sent)) port.Sends = [.. sent];
                if (takes.TryGetValue(port, out var taken)) port.Takes = [.. taken];
            }
            return new NetworkLoad(network, acts, profile, [.. streams], [.. ports]);
        }

        private Socket? TwinOn(Device device, Socket socket)
        {
            foreach (var other in device.Model.Sockets)
                if (other.TwinOf == socket.Name && rig.NetworkOf(device, other, acts) == network) return other;
            return null;
        }

        private void Add(Block block, Device device, Socket socket, Func<Connector, Connector?> onThisLeg)
        {
            var receivers = ImmutableArray.CreateBuilder<Connector>();
            foreach (var (port, its) in block.Receivers)
            {
                if (its.Meets(acts) && onThisLeg(port) is { } here) receivers.Add(here);
            }
            if (receivers.Count == 0) return;
            var sender = Port(device, socket, block.Number);
            if (block.IsUnknown)
            {
                sender.SendsUnknown = true;
                foreach (var receiver in receivers) Port(receiver.Device, receiver.Socket, receiver.Number).TakesUnknown = true;
                return;
            }
            var from = new Connector(device, socket, Side.Out, block.Number);
            StreamPacket? packet = profile is { SampleBytes: { } bytes, Wrapping: { } wrapping } && profile.PacketTimeOf(socket, block.Channels) is { } time && socket.Rate > 0
                ? new StreamPacket(block.Channels, socket.Rate, time, bytes, wrapping)
                : null;
            if (profile.IsUnicast || socket.Settings.Has("unicast"))
                foreach (var receiver in receivers) Give(new NetworkStream(from, block.First, block.Channels, false, packet, [receiver]) { Edge = block.Edge }, sender);
            else Give(new NetworkStream(from, block.First, block.Channels, true, packet, receivers.ToImmutable()) { Edge = block.Edge }, sender);
        }

        private void Give(NetworkStream stream, PortLoad sender)
        {
            streams.Add(stream);
            List(sends, sender).Add(stream);
            foreach (var receiver in stream.Receivers) List(takes, Port(receiver.Device, receiver.Socket, receiver.Number)).Add(stream);
        }

        private static List<NetworkStream> List(Dictionary<PortLoad, List<NetworkStream>> lists, PortLoad port)
        {
            if (!lists.TryGetValue(port, out var list)) lists.Add(port, list = []);
            return list;
        }

        private PortLoad Port(Device device, Socket socket, int number)
        {
            if (portOf.TryGetValue((device, socket, number), out var port)) return port;
            double? link = socket.Link is { } own ? Math.Min(own, profile.Link ?? own) : profile.Link;
            port = new PortLoad(device, socket, number, link);
            portOf.Add((device, socket, number), port);
            ports.Add(port);
            return port;
        }
    }
}
