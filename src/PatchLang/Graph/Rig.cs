using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>One cable between two connectors.</summary>
/// <param name="Index">Its number among the rig's cables.</param>
/// <param name="From">Where it leaves, on the out side.</param>
/// <param name="To">Where it arrives, on the in side.</param>
/// <param name="Acts">The acts in which it is plugged.</param>
public sealed record Cable(int Index, Connector From, Connector To, ActSet Acts)
{
    /// <summary>The format at its ends.</summary>
    public required FormatSymbol Format { get; init; }

    /// <summary>What it is called in the sheets.</summary>
    public string? Label { get; init; }

    /// <summary>What it is made of, if written.</summary>
    public string? Medium { get; init; }

    /// <summary>The multicore it is a way of, if it is.</summary>
    public LoomSymbol? Loom { get; init; }

    /// <summary>Its way in the multicore, from 1.</summary>
    public int Way { get; init; }

    /// <summary>Its length in metres, if known.</summary>
    public double? Length { get; init; }

    /// <summary>Whether it carries both directions.</summary>
    public bool BothWays => Format.BothWays && To.Socket.Has(Side.Out) && From.Socket.Has(Side.In);

    internal CableStatement Statement { get; init; } = null!;
}

/// <summary>A port that is joined to a network.</summary>
internal readonly record struct Member(Device Device, Socket Socket, PlanPoint Where);

/// <summary>A place in a statement that names something.</summary>
internal readonly record struct PlanPoint(Statement Statement, Text.TextSpan Span)
{
    public Anchor Anchor => new(Statement, Span);
}

/// <summary>A network as it stands: its members, and the network it is the second leg of.</summary>
public sealed class Network
{
    internal Network(int index, NetworkSymbol symbol, FormatSymbol format)
    {
        Index = index;
        Symbol = symbol;
        Format = format;
        Group = this;
    }

    /// <summary>Its number among the rig's networks.</summary>
    public int Index { get; }

    /// <summary>Its declaration.</summary>
    public NetworkSymbol Symbol { get; }

    /// <summary>The format its members speak.</summary>
    public FormatSymbol Format { get; }

    /// <summary>The network whose streams it carries: itself, or, for a second leg, the first.</summary>
    public Network Group { get; internal set; }

    /// <summary>The ports that are joined to it.</summary>
    public IEnumerable<(Device Device, Socket Socket)> Ports => Members.Select(m => (m.Device, m.Socket));

    /// <summary>The latency with which a port receives, in seconds; null where nothing is written.</summary>
    public double? LatencyAt(Device device, Socket socket) =>
        ReceiverLatencies.TryGetValue((device, socket), out var latency) ? latency : Symbol.Latency;

    internal Dictionary<(Device, Socket), double> ReceiverLatencies { get; } = [];

    internal List<Member> Members { get; } = [];

    /// <summary>Whether some member could not be made out.</summary>
    internal bool HasUnknownMembers { get; set; }

    /// <inheritdoc/>
    public override string ToString() => Symbol.Name;
}

/// <summary>A clock: of a unit, or of a card in one.</summary>
public sealed class Clock
{
    internal Clock(int index, Device device, ClockModel model)
    {
        Index = index;
        Device = device;
        Model = model;
    }

    /// <summary>Its number among the rig's clocks.</summary>
    public int Index { get; }

    /// <summary>The device it is in.</summary>
    public Device Device { get; }

    /// <summary>What the gear says of it.</summary>
    public ClockModel Model { get; }

    /// <summary>What the plan calls it: the device, and the clock where the device has several.</summary>
    public string Name => Device.Model.Clocks.Length == 1 ? Device.Name : $"{Device.Name}.{Model.Name}";

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>A clock told to follow a source, in some acts.</summary>
internal sealed record Following(Clock Clock, ClockSource Source, ActSet Acts, FollowStatement Statement);

/// <summary>The clock that a side of the rig runs on, and who takes over.</summary>
internal sealed record Timekeeping(Clock Clock, ImmutableArray<Clock> Standbys, ActSet Acts, TimekeeperStatement Statement);

/// <summary>The equipment of a plan as it stands, and how it is joined: everything but the signals.</summary>
public sealed class Rig
{
    private readonly ImmutableArray<Device>[] devicesOf;
    private int[] deviceAt = [];
    private int[] firstNodes = [];
    private Socket[] socketAt = [];

    internal Rig(int unitCount)
    {
        devicesOf = new ImmutableArray<Device>[unitCount];
        Array.Fill(devicesOf, []);
    }

    /// <summary>All devices, cards behind what they sit in.</summary>
    public ImmutableArray<Device> Devices { get; private set; } = [];

    /// <summary>All clocks.</summary>
    public ImmutableArray<Clock> Clocks { get; internal set; } = [];

    /// <summary>All networks.</summary>
    public ImmutableArray<Network> Networks { get; internal set; } = [];

    /// <summary>All declared cables.</summary>
    public ImmutableArray<Cable> Cables { get; internal set; } = [];

    /// <summary>The number of channels on all sides of all sockets: nodes of the signal graph count from 0 to this.</summary>
    public int NodeCount { get; private set; }

    /// <summary>The acts of the plan; a plan without acts has one unnamed act.</summary>
    public ActSet AllActs { get; internal set; }

    internal Dictionary<Connector, List<Cable>> CablesFrom { get; } = [];

    internal Dictionary<Connector, List<Cable>> CablesTo { get; } = [];

    internal Dictionary<(Device, Socket), List<Network>> NetworksOf { get; } = [];

    /// <summary>Sockets with a cable, or a network, that could not be made out: what goes over it has its finding there.</summary>
    internal HashSet<(Device, Socket)> BrokenEnds { get; } = [];

    /// <summary>Whether some timekeeper could not be made out.</summary>
    internal bool HasBrokenTimekeepers { get; set; }

    /// <summary>Whether some cable could not be plugged: a hop that looks uncabled may be that one's.</summary>
    internal bool HasBrokenCables { get; set; }

    /// <summary>Clocks that were told to follow something that could not be resolved, or two things at once.</summary>
    internal HashSet<Clock> UnknownClocks { get; } = [];

    internal List<Following> Followings { get; } = [];

    internal List<Timekeeping> Timekeepers { get; } = [];

    /// <summary>The acts of every cable, network and card that is not there all day: between these, ways may differ.</summary>
    internal List<ActSet> Changes { get; } = [];

    /// <summary>Leaves each set of acts once among the changes.</summary>
    internal void ForgetDoubledChanges()
    {
        var seen = new HashSet<ActSet>();
        Changes.RemoveAll(c => !seen.Add(c));
    }

    internal DraftBag Findings { get; } = new();

    /// <summary>The pieces of a unit; none where its gear could not be made.</summary>
    public ImmutableArray<Device> DevicesOf(UnitSymbol unit) => unit.Number < 0 ? [] : devicesOf[unit.Number];

    internal void Add(UnitSymbol unit, ImmutableArray<Device> devices) => devicesOf[unit.Number] = devices;

    /// <summary>Takes the devices in; nothing is added to them later.</summary>
    internal void Take(ImmutableArray<Device> devices, int nodeCount)
    {
        Devices = devices;
        NodeCount = nodeCount;
        deviceAt = new int[nodeCount];
        firstNodes = new int[devices.Length];
        socketAt = new Socket[nodeCount];
        foreach (var device in devices)
        {
            var nodes = device.Model.SocketsByNode;
            firstNodes[device.Index] = device.FirstNode;
            deviceAt.AsSpan(device.FirstNode, nodes.Length).Fill(device.Index);
            nodes.CopyTo(socketAt, device.FirstNode);
        }
    }

    /// <summary>The device that a node belongs to.</summary>
    public Device DeviceOf(int node) => Devices[deviceAt[node]];

    /// <summary>The number of the device that a node belongs to.</summary>
    internal int DeviceNumberOf(int node) => deviceAt[node];

    /// <summary>The socket that a node is a channel of.</summary>
    public Socket SocketOf(int node) => socketAt[node];

    /// <summary>The point that a node stands for.</summary>
    public GraphPoint PointOf(int node)
    {
        // Asked for every edge by every check: devices are many and lie apart, so none of them is looked into.
        var index = deviceAt[node];
        var (device, socket) = (Devices[index], socketAt[node]);
        var offset = node - firstNodes[index] - socket.FirstNode;
        if (socket.IsInner) return new GraphPoint(device, socket, Side.Inner, offset);
        return offset < socket.InCount
            ? new GraphPoint(device, socket, Side.In, offset)
            : new GraphPoint(device, socket, Side.Out, offset - socket.InCount);
    }

    /// <summary>The point that a node stands for; an unknown one for −1.</summary>
    internal GraphPoint PointAt(int node) => node < 0 ? default : PointOf(node);

    /// <summary>The first of the nodes on the connector that a node of a link is on: two nodes are on one connector where that is the same.</summary>
    internal int FirstOnConnector(int node)
    {
        var socket = socketAt[node];
        if (socket is { InPerConnector: 1, OutPerConnector: 1 }) return node;
        var offset = node - firstNodes[deviceAt[node]] - socket.FirstNode;
        return offset < socket.InCount ? node - offset % socket.InPerConnector : node - (offset - socket.InCount) % socket.OutPerConnector;
    }

    /// <summary>The network that a port is joined to in an act, or null.</summary>
    internal Network? NetworkOf(Device device, Socket socket, ActSet acts)
    {
        if (!NetworksOf.TryGetValue((device, socket), out var networks)) return null;
        foreach (var network in networks)
            if (network.Symbol.Acts.Meets(acts)) return network;
        return null;
    }

    /// <summary>The declared cable between two points in some acts, whichever way round it was written; null where there is none.</summary>
    internal Cable? CableOf(GraphPoint from, GraphPoint to, ActSet acts)
    {
        var (leaves, arrives) = (from.Connector, to.Connector);
        if (CablesFrom.TryGetValue(leaves, out var cables))
            foreach (var cable in cables)
                if (cable.To == arrives && cable.Acts.Meets(acts)) return cable;
        if (CablesFrom.TryGetValue(arrives with { Side = Side.Out }, out var returns))
            foreach (var cable in returns)
                if (cable.BothWays && cable.To == leaves with { Side = Side.In } && cable.Acts.Meets(acts)) return cable;
        return null;
    }

    /// <summary>The clock that drives a socket: the one it names, else the device's first, else its host's. Null where there is none.</summary>
    public Clock? ClockOf(Device device, Socket? socket)
    {
        for (var at = device; at is not null; at = at.Host)
        {
            var clocks = at.Model.Clocks;
            if (clocks.IsEmpty) continue;
            var index = 0;
            if (at == device && socket?.Settings["clocked_by"]?.Text is { } name && at.Model.ClockOf(name) is { } named) index = named.Index;
            return Clocks[at.FirstClock + index];
        }
        return null;
    }
}

/// <summary>One channel at one point; numbered from 0.</summary>
public readonly record struct GraphPoint(Device Device, Socket Socket, Side Side, int Channel)
{
    /// <inheritdoc/>
    public bool Equals(GraphPoint other) => Device == other.Device && Socket == other.Socket && Side == other.Side && Channel == other.Channel;

    /// <inheritdoc/>
    public override int GetHashCode() => Node;

    /// <summary>Whether it is no point at all: what could not be resolved.</summary>
    public bool IsUnknown => Device is null;

    /// <summary>Its node in the signal graph; −1 if it is unknown.</summary>
    public int Node => Device is null ? -1 : Device.NodeOf(Socket, Side, Channel);

    /// <summary>The connector it is on; meaningless inside.</summary>
    public Connector Connector => new(Device, Socket, Side, Channel / Socket.PerConnector(Side));

    /// <summary>How a plan writes it: <c>desk.ch[5]</c>.</summary>
    public override string ToString() =>
        Socket.CountOn(Side) == 1 ? $"{Device.Name}.{Socket.Name}" : $"{Device.Name}.{Socket.Name}[{Channel + 1}]";
}
