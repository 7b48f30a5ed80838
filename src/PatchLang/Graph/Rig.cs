using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Graph;

/// <summary>One cable between two connectors.</summary>
/// <param name="Index">Its index among the rig's cables.</param>
/// <param name="From">The connector it leaves, on the out side.</param>
/// <param name="To">The connector it arrives at, on the in side.</param>
/// <param name="Acts">The acts in which it is plugged.</param>
public sealed record Cable(int Index, Connector From, Connector To, ActSet Acts)
{
    /// <summary>The format at its ends.</summary>
    public required FormatSymbol Format { get; init; }

    /// <summary>Its label in the sheets.</summary>
    public string? Label { get; init; }

    /// <summary>Its medium, if written.</summary>
    public string? Medium { get; init; }

    /// <summary>The loom (multicore) that it is a way of, if any.</summary>
    public LoomSymbol? Loom { get; init; }

    /// <summary>Its way in the loom, from 1.</summary>
    public int Way { get; init; }

    /// <summary>Its length in metres, if known.</summary>
    public double? Length { get; init; }

    /// <summary>Whether it carries both directions.</summary>
    public bool BothWays => Format.BothWays && To.Socket.Has(Side.Out) && From.Socket.Has(Side.In);

    internal CableStatement Statement { get; init; } = null!;
}

/// <summary>A port that is a member of a network.</summary>
internal readonly record struct Member(Device Device, Socket Socket, PlanPoint Where);

/// <summary>A span in a statement that names something.</summary>
internal readonly record struct PlanPoint(Statement Statement, Text.TextSpan Span)
{
    public Anchor Anchor => new(Statement, Span);
}

/// <summary>A network with its members. A network may be the second leg of another, carrying the same streams redundantly.</summary>
public sealed class Network
{
    internal Network(int index, NetworkSymbol symbol, FormatSymbol format)
    {
        Index = index;
        Symbol = symbol;
        Format = format;
        Group = this;
    }

    /// <summary>Its index among the rig's networks.</summary>
    public int Index { get; }

    /// <summary>Its declaration.</summary>
    public NetworkSymbol Symbol { get; }

    /// <summary>The format of its members.</summary>
    public FormatSymbol Format { get; }

    /// <summary>The network whose streams it carries: itself, or for a second leg the first one.</summary>
    public Network Group { get; internal set; }

    /// <summary>The ports that are members.</summary>
    public IEnumerable<(Device Device, Socket Socket)> Ports => Members.Select(m => (m.Device, m.Socket));

    /// <summary>The receive latency of a port, in seconds; null if none is written.</summary>
    public double? LatencyAt(Device device, Socket socket) =>
        ReceiverLatencies.TryGetValue((device, socket), out var latency) ? latency : Symbol.Latency;

    internal Dictionary<(Device, Socket), double> ReceiverLatencies { get; } = [];

    internal List<Member> Members { get; } = [];

    /// <summary>Whether some member could not be resolved.</summary>
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

    /// <summary>Its index among the rig's clocks.</summary>
    public int Index { get; }

    /// <summary>The device it is in.</summary>
    public Device Device { get; }

    /// <summary>Its description in the gear.</summary>
    public ClockModel Model { get; }

    /// <summary>Its name in the plan: the device's, with the clock's own if the device has several.</summary>
    public string Name => Device.Model.Clocks.Length == 1 ? Device.Name : $"{Device.Name}.{Model.Name}";

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>A clock that the plan sets to follow a source, in some acts.</summary>
internal sealed record Following(Clock Clock, ClockSource Source, ActSet Acts, FollowStatement Statement);

/// <summary>The clock that a part of the rig runs on, and its standbys.</summary>
internal sealed record Timekeeping(Clock Clock, ImmutableArray<Clock> Standbys, ActSet Acts, TimekeeperStatement Statement);

/// <summary>The resolved equipment of a plan and its connections: everything but the signals.</summary>
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

    /// <summary>All devices, each followed by its cards.</summary>
    public ImmutableArray<Device> Devices { get; private set; } = [];

    /// <summary>All clocks.</summary>
    public ImmutableArray<Clock> Clocks { get; internal set; } = [];

    /// <summary>All networks.</summary>
    public ImmutableArray<Network> Networks { get; internal set; } = [];

    /// <summary>All declared cables.</summary>
    public ImmutableArray<Cable> Cables { get; internal set; } = [];

    /// <summary>The number of nodes in the signal graph, which are numbered from 0: one per channel, socket and side.</summary>
    public int NodeCount { get; private set; }

    /// <summary>The acts of the plan; a plan without acts has one unnamed act.</summary>
    public ActSet AllActs { get; internal set; }

    internal Dictionary<Connector, List<Cable>> CablesFrom { get; } = [];

    internal Dictionary<Connector, List<Cable>> CablesTo { get; } = [];

    internal Dictionary<(Device, Socket), List<Network>> NetworksOf { get; } = [];

    /// <summary>Sockets with a cable or network that could not be resolved: problems of signals through them have been reported there.</summary>
    internal HashSet<(Device, Socket)> BrokenEnds { get; } = [];

    /// <summary>Whether some timekeeper could not be resolved.</summary>
    internal bool HasBrokenTimekeepers { get; set; }

    /// <summary>Whether some cable could not be plugged: a hop that seems to lack a cable may belong to that one.</summary>
    internal bool HasBrokenCables { get; set; }

    /// <summary>Clocks that were told to follow something unresolved, or two things at once.</summary>
    internal HashSet<Clock> UnknownClocks { get; } = [];

    internal List<Following> Followings { get; } = [];

    internal List<Timekeeping> Timekeepers { get; } = [];

    /// <summary>The acts of every cable, network and card that does not exist in all acts: ways may differ between them.</summary>
    internal List<ActSet> Changes { get; } = [];

    /// <summary>Removes duplicates from the changes.</summary>
    internal void ForgetDoubledChanges()
    {
        var seen = new HashSet<ActSet>();
        Changes.RemoveAll(c => !seen.Add(c));
    }

    internal DraftBag Findings { get; } = new();

    /// <summary>The devices of a unit; none if its gear could not be built.</summary>
    public ImmutableArray<Device> DevicesOf(UnitSymbol unit) => unit.Number < 0 ? [] : devicesOf[unit.Number];

    internal void Add(UnitSymbol unit, ImmutableArray<Device> devices) => devicesOf[unit.Number] = devices;

    /// <summary>Sets the devices; none are added later.</summary>
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

    /// <summary>The device of a node.</summary>
    public Device DeviceOf(int node) => Devices[deviceAt[node]];

    /// <summary>The index of a node's device.</summary>
    internal int DeviceNumberOf(int node) => deviceAt[node];

    /// <summary>The socket of a node.</summary>
    public Socket SocketOf(int node) => socketAt[node];

    /// <summary>The point of a node.</summary>
    public GraphPoint PointOf(int node)
    {
        // Called by every check for every edge: reading the flat arrays avoids a cache miss in the device.
        var index = deviceAt[node];
        var (device, socket) = (Devices[index], socketAt[node]);
        var offset = node - firstNodes[index] - socket.FirstNode;
        if (socket.IsInner) return new GraphPoint(device, socket, Side.Inner, offset);
        return offset < socket.InCount
            ? new GraphPoint(device, socket, Side.In, offset)
            : new GraphPoint(device, socket, Side.Out, offset - socket.InCount);
    }

    /// <summary>The point of a node; an unknown one for −1.</summary>
    internal GraphPoint PointAt(int node) => node < 0 ? default : PointOf(node);

    /// <summary>The first node on the same connector as a node of a link; it identifies the connector.</summary>
    internal int FirstOnConnector(int node)
    {
        var socket = socketAt[node];
        if (socket is { InPerConnector: 1, OutPerConnector: 1 }) return node;
        var offset = node - firstNodes[deviceAt[node]] - socket.FirstNode;
        return offset < socket.InCount ? node - offset % socket.InPerConnector : node - (offset - socket.InCount) % socket.OutPerConnector;
    }

    /// <summary>The network that a port is a member of in some acts, or null.</summary>
    internal Network? NetworkOf(Device device, Socket socket, ActSet acts)
    {
        if (!NetworksOf.TryGetValue((device, socket), out var networks)) return null;
        foreach (var network in networks)
            if (network.Symbol.Acts.Meets(acts)) return network;
        return null;
    }

    /// <summary>The declared cable between two points in some acts, in whichever direction it was declared; null if there is none.</summary>
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

    /// <summary>
    /// The clock that drives a socket: the one named by <c>clocked_by</c>, else the device's first, else its host's; null if there is none.
    /// </summary>
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

/// <summary>One channel of a socket, on one side; counted from 0.</summary>
public readonly record struct GraphPoint(Device Device, Socket Socket, Side Side, int Channel)
{
    /// <inheritdoc/>
    public bool Equals(GraphPoint other) => Device == other.Device && Socket == other.Socket && Side == other.Side && Channel == other.Channel;

    /// <inheritdoc/>
    public override int GetHashCode() => Node;

    /// <summary>Whether it stands for a point that could not be resolved.</summary>
    public bool IsUnknown => Device is null;

    /// <summary>Its node in the signal graph; −1 if it is unknown.</summary>
    public int Node => Device is null ? -1 : Device.NodeOf(Socket, Side, Channel);

    /// <summary>The connector it is on; meaningless for a point inside a unit.</summary>
    public Connector Connector => new(Device, Socket, Side, Channel / Socket.PerConnector(Side));

    /// <summary>The point as a plan writes it: <c>desk.ch[5]</c>.</summary>
    public override string ToString() =>
        Socket.CountOn(Side) == 1 ? $"{Device.Name}.{Socket.Name}" : $"{Device.Name}.{Socket.Name}[{Channel + 1}]";
}
