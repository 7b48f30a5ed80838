using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>One stream: a block of channels that a port sends, to all who take some of it, or, unicast, to one of them.</summary>
/// <param name="Sender">The port it leaves.</param>
/// <param name="First">Its first channel, from 0, counted over the whole socket.</param>
/// <param name="Channels">Its channels, all of the block, used or not.</param>
/// <param name="IsMulticast">Whether it is sent once for all who take it.</param>
/// <param name="Packet">Its packets; null where the plan does not say enough.</param>
/// <param name="Receivers">The ports that take it.</param>
public sealed record NetworkStream(Connector Sender, int First, int Channels, bool IsMulticast, StreamPacket? Packet, ImmutableArray<Connector> Receivers)
{
    /// <summary>What it takes of a link, every byte on the wire, in bits per second; null where that is unknown.</summary>
    public double? BitRate => Packet?.WireBitRate;

    /// <summary>The first hop of the plan that goes over it.</summary>
    internal int Edge { get; init; }

    /// <summary>How a plan writes its channels: <c>rack.net[1..8]</c>.</summary>
    public override string ToString() => Channels == 1 ? $"{Sender.Device.Name}.{Sender.Socket.Name}[{First + 1}]" : $"{Sender.Device.Name}.{Sender.Socket.Name}[{First + 1}..{First + Channels}]";
}

/// <summary>What goes through one connector of a network.</summary>
public sealed class PortLoad
{
    internal PortLoad(Device device, Socket socket, int number, double? link)
    {
        Device = device;
        Socket = socket;
        Number = number;
        Link = link;
    }

    /// <summary>The device it is on.</summary>
    public Device Device { get; }

    /// <summary>Its socket.</summary>
    public Socket Socket { get; }

    /// <summary>Which of the socket's connectors it is, from 0.</summary>
    public int Number { get; }

    /// <summary>The speed of its link: the slower of what the port and its network say, in bits per second; null where neither does.</summary>
    public double? Link { get; }

    /// <summary>The streams it sends, in the order of the plan.</summary>
    public ImmutableArray<NetworkStream> Sends { get; internal set; } = [];

    /// <summary>The streams it takes, in the order of the plan.</summary>
    public ImmutableArray<NetworkStream> Takes { get; internal set; } = [];

    /// <summary>Whether it sends in blocks whose size nobody says, so that what it sends is unknown.</summary>
    public bool SendsUnknown { get; internal set; }

    /// <summary>Whether some of what it takes comes from such a port.</summary>
    public bool TakesUnknown { get; internal set; }

    /// <summary>What it sends, in bits per second; null where that is unknown.</summary>
    public double? SendBitRate => SendsUnknown ? null : NetworkLoad.Sum(Sends);

    /// <summary>What it takes, in bits per second; null where that is unknown.</summary>
    public double? TakeBitRate => TakesUnknown ? null : NetworkLoad.Sum(Takes);

    /// <summary>How a plan writes it: <c>rack.net</c>, and, of several connectors, which.</summary>
    public string Name => Math.Max(Connectors(Side.In), Connectors(Side.Out)) > 1 ? $"{Device.Name}.{Socket.Name} (connector {Number + 1})" : $"{Device.Name}.{Socket.Name}";

    private int Connectors(Side side) => NetworkLoad.ConnectorsOf(Socket, side);
}

/// <summary>What goes over a network, in acts in which nothing about that differs.</summary>
public sealed class NetworkLoad
{
    internal NetworkLoad(Network network, ActSet acts, StreamProfile profile, ImmutableArray<NetworkStream> streams, ImmutableArray<PortLoad> ports)
    {
        Network = network;
        Acts = acts;
        Profile = profile;
        Streams = streams;
        Ports = ports;
    }

    /// <summary>The network.</summary>
    public Network Network { get; }

    /// <summary>The acts.</summary>
    public ActSet Acts { get; }

    /// <summary>How its streams are made.</summary>
    public StreamProfile Profile { get; }

    /// <summary>Its streams, in the order of the plan; those that a second leg carries over too.</summary>
    public ImmutableArray<NetworkStream> Streams { get; }

    /// <summary>Its ports, in the order in which they join.</summary>
    public ImmutableArray<PortLoad> Ports { get; }

    /// <summary>Whether some of its ports send in blocks whose size nobody says.</summary>
    public bool HasUnknownStreams => Ports.Any(p => p.SendsUnknown);

    /// <summary>All streams together, in bits per second: the most that any link between its switches can have to carry. Null where that is unknown.</summary>
    public double? BitRate => HasUnknownStreams ? null : Sum(Streams);

    /// <summary>What arrives at a port, in bits per second, where switches send multicast to every port: all of it but its own, and what is sent to it alone. Null where that is unknown.</summary>
    public double? FloodAt(PortLoad port)
    {
        ArgumentNullException.ThrowIfNull(port);
        if (HasUnknownStreams) return null;
        double sum = 0;
        foreach (var stream in Streams)
        {
            if (stream.IsMulticast ? IsOf(stream.Sender, port) : !stream.Receivers.Any(r => IsOf(r, port))) continue;
            if (stream.BitRate is not { } rate) return null;
            sum += rate;
        }
        return sum;
    }

    internal static bool IsOf(Connector connector, PortLoad port) => connector.Device == port.Device && connector.Socket == port.Socket && connector.Number == port.Number;

    internal static int ConnectorsOf(Socket socket, Side side) => (socket.CountOn(side) + socket.PerConnector(side) - 1) / socket.PerConnector(side);

    internal static double? Sum(ImmutableArray<NetworkStream> streams)
    {
        double sum = 0;
        foreach (var stream in streams)
        {
            if (stream.BitRate is not { } rate) return null;
            sum += rate;
        }
        return sum;
    }
}
