using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Drawings;

/// <summary>Like cables between the same two sockets, declared or implied.</summary>
internal sealed class Joint(int number, Device fromDevice, Socket from, Device toDevice, Socket to)
{
    /// <summary>Its number among the joints.</summary>
    public int Number { get; } = number;

    public Device FromDevice { get; } = fromDevice;

    public Socket From { get; } = from;

    public Device ToDevice { get; } = toDevice;

    public Socket To { get; } = to;

    /// <summary>The connectors it leaves.</summary>
    public SortedSet<int> Leaves { get; } = [];

    /// <summary>The connectors it arrives at.</summary>
    public SortedSet<int> Arrives { get; } = [];

    /// <summary>The first of its cables; null where no statement declares them.</summary>
    public Cable? Cable { get; init; }

    /// <summary>The two ends of each of its cables.</summary>
    public List<(Connector From, Connector To)> Connectors { get; } = [];

    /// <summary>The number of cables.</summary>
    public int Cables { get; set; }

    /// <summary>The channels used in the forward direction, by the node they leave.</summary>
    public HashSet<int> Forward { get; } = [];

    /// <summary>The channels used in the backward direction, on two-way cables.</summary>
    public HashSet<int> Back { get; } = [];

    public SortedSet<int> Feeds { get; } = [];

    /// <summary>Whether it is drawn from its end to its start, as it carries more channels that way.</summary>
    public bool IsTurned => Back.Count > Forward.Count;
}

/// <summary>A port's connection to a network.</summary>
internal sealed class NetworkJoint(Network network, Device device, Socket socket)
{
    public Network Network { get; } = network;

    public Device Device { get; } = device;

    public Socket Socket { get; } = socket;

    public HashSet<int> Sent { get; } = [];

    public HashSet<int> Received { get; } = [];

    public SortedSet<int> Feeds { get; } = [];

    /// <summary>Whether it is drawn left of its network: it sends more than it receives.</summary>
    public bool Sends => Sent.Count > Received.Count;
}

/// <summary>Channels of one socket at which sound enters the rig, or leaves it to a listener.</summary>
internal sealed record OpenEnd(Device Device, Socket Socket, Side Side, SortedSet<int> Channels);

/// <summary>
/// How the units of a plan are connected in some acts, by rows of sockets rather than by channels, and what each connection carries.
/// </summary>
internal sealed class RigJoints
{
    private readonly Compilation plan;
    private readonly ActSet acts;
    private readonly Joint?[] jointOf;
    private readonly Dictionary<(Connector, Connector), Joint> byEnds = [];
    private readonly Dictionary<(Network, Device, Socket), NetworkJoint> byPort = [];

    public RigJoints(Compilation plan, ActSet acts)
    {
        (this.plan, this.acts) = (plan, acts);
        TakeCables();
        TakeNetworks();
        jointOf = new Joint?[plan.Graph.EdgeCount];
        TakeHops();
        TakeOpenEnds();
    }

    public List<Joint> Joints { get; } = [];

    public List<NetworkJoint> NetworkJoints { get; } = [];

    public List<OpenEnd> OpenEnds { get; } = [];

    /// <summary>The network connections at both ends of an edge.</summary>
    public (NetworkJoint? From, NetworkJoint? To) NetworkJointsOf(int edge)
    {
        if (plan.Graph.HopOf(edge).Network is not { } network) return default;
        return (At(plan.Rig.PointOf(plan.Graph.FromOf(edge))), At(plan.Rig.PointOf(plan.Graph.ToOf(edge))));

        NetworkJoint? At(GraphPoint point) =>
            byPort.GetValueOrDefault((network, point.Device, point.Socket))
            ?? NetworkJoints.Find(j => j.Network.Group == network.Group && j.Device == point.Device && j.Socket == point.Socket);
    }

    /// <summary>The joint whose cables carry an edge.</summary>
    public Joint? JointOver(int edge) => jointOf[edge];

    private void TakeCables()
    {
        var alike = new Dictionary<(Device, Socket, Device, Socket, string), Joint>();
        foreach (var cable in plan.Rig.Cables)
        {
            if (!cable.Acts.Meets(acts)) continue;
            // The cables of one statement are alike, and so are those of several statements that agree in these words.
            var words = $"{cable.Loom?.Name}\n{cable.Medium}\n{cable.Length}\n{Stem(cable)}";
            var key = (cable.From.Device, cable.From.Socket, cable.To.Device, cable.To.Socket, words);
            if (!alike.TryGetValue(key, out var joint))
            {
                alike.Add(key, joint = new Joint(Joints.Count, cable.From.Device, cable.From.Socket, cable.To.Device, cable.To.Socket) { Cable = cable });
                Joints.Add(joint);
            }
            joint.Leaves.Add(cable.From.Number);
            joint.Arrives.Add(cable.To.Number);
            joint.Connectors.Add((cable.From, cable.To));
            joint.Cables++;
            byEnds.TryAdd((cable.From, cable.To), joint);
            if (cable.BothWays) byEnds.TryAdd((cable.To with { Side = Side.Out }, cable.From with { Side = Side.In }), joint);
        }
    }

    /// <summary>A cable's label without its running number.</summary>
    private static string Stem(Cable cable) => cable.Label?.TrimEnd("0123456789 ".ToCharArray()) ?? "";

    private void TakeNetworks()
    {
        foreach (var network in plan.Rig.Networks)
        {
            if (!network.Symbol.Acts.Meets(acts)) continue;
            foreach (var (device, socket) in network.Ports)
            {
                var joint = new NetworkJoint(network, device, socket);
                if (byPort.TryAdd((network, device, socket), joint)) NetworkJoints.Add(joint);
            }
        }
    }

    private void TakeHops()
    {
        var (graph, rig) = (plan.Graph, plan.Rig);
        var implied = new Dictionary<(Device, Socket, Device, Socket), Joint>();
        for (var edge = 0; edge < graph.EdgeCount; edge++)
        {
            var hop = graph.HopOf(edge);
            if (!hop.IsLink || !graph.ActsOf(edge).Meets(acts)) continue;
            var (from, to) = (rig.PointOf(graph.FromOf(edge)), rig.PointOf(graph.ToOf(edge)));
            var feed = plan.WayOf(edge).Number;
            if (hop.Kind == HopKind.Network)
            {
                var (sender, receiver) = NetworkJointsOf(edge);
                sender?.Sent.Add(from.Node);
                sender?.Feeds.Add(feed);
                receiver?.Received.Add(to.Node);
                receiver?.Feeds.Add(feed);
                continue;
            }
            if (!byEnds.TryGetValue((from.Connector, to.Connector), out var joint))
            {
                var key = (from.Device, from.Socket, to.Device, to.Socket);
                if (!implied.TryGetValue(key, out joint))
                {
                    implied.Add(key, joint = new Joint(Joints.Count, from.Device, from.Socket, to.Device, to.Socket));
                    Joints.Add(joint);
                }
                joint.Leaves.Add(from.Connector.Number);
                joint.Arrives.Add(to.Connector.Number);
                joint.Connectors.Add((from.Connector, to.Connector));
                joint.Cables = joint.Leaves.Count;
                byEnds.Add((from.Connector, to.Connector), joint);
            }
            (joint.FromDevice == from.Device && joint.From == from.Socket ? joint.Forward : joint.Back).Add(from.Node);
            joint.Feeds.Add(feed);
            jointOf[edge] = joint;
        }
    }

    private void TakeOpenEnds()
    {
        var ends = new Dictionary<(Device, Socket, Side), OpenEnd>();
        var plugged = byEnds.Keys.SelectMany(k => (Connector[])[k.Item1, k.Item2]).ToHashSet();
        var graph = plan.Graph;
        for (var node = 0; node < graph.NodeCount; node++)
        {
            if (!graph.IsUsed(node)) continue;
            var point = plan.Rig.PointOf(node);
            if (point.Socket.IsInner) continue;
            var isUsed = false;
            var isLinked = false;
            foreach (var edge in point.Side == Side.In ? graph.Into(node) : graph.OutOf(node))
                if (graph.ActsOf(edge).Meets(acts)) isLinked |= graph.HopOf(edge).IsLink;
            foreach (var edge in point.Side == Side.In ? graph.OutOf(node) : graph.Into(node))
                isUsed |= graph.ActsOf(edge).Meets(acts);
            // A signal that ends at a plugged connector could not be continued, and has a finding for that: it is not open.
            if (!isUsed || isLinked || plugged.Contains(point.Connector)) continue;
            var key = (point.Device, point.Socket, point.Side);
            if (!ends.TryGetValue(key, out var end))
            {
                ends.Add(key, end = new OpenEnd(point.Device, point.Socket, point.Side, []));
                OpenEnds.Add(end);
            }
            end.Channels.Add(point.Channel);
        }
    }
}
