using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>One stream: a block of channels that a port sends, by multicast to all receivers of any of them, or by unicast to one receiver.</summary>
/// <param name="Sender">The connector that sends it.</param>
/// <param name="First">Its first channel, from 0, counted across the whole socket.</param>
/// <param name="Channels">The number of its channels: all of the block, used or not.</param>
/// <param name="IsMulticast">Whether it is sent once for all receivers.</param>
/// <param name="Packet">Its packet format; null if the plan does not say enough.</param>
/// <param name="Receivers">The connectors that receive it.</param>
public sealed record NetworkStream(Connector Sender, int First, int Channels, bool IsMulticast, StreamPacket? Packet, ImmutableArray<Connector> Receivers)
{
    /// <summary>Its bit rate on the wire, including all overhead, in bits per second; null if unknown.</summary>
    public double? BitRate => Packet?.WireBitRate;

    /// <summary>The first edge of the plan that uses it.</summary>
    internal int Edge { get; init; }

    /// <summary>Its channels as a plan writes them: <c>rack.net[1..8]</c>.</summary>
    public override string ToString() => Channels == 1 ? $"{Sender.Device.Name}.{Sender.Socket.Name}[{First + 1}]" : $"{Sender.Device.Name}.{Sender.Socket.Name}[{First + 1}..{First + Channels}]";
}

/// <summary>The load of one connector on a network.</summary>
public sealed class PortLoad
{
    internal PortLoad(Device device, Socket socket, int number, double? link)
    {
        Device = device;
        Socket = socket;
        Number = number;
        Link = link;
    }

    /// <summary>The device it belongs to.</summary>
    public Device Device { get; }

    /// <summary>Its socket.</summary>
    public Socket Socket { get; }

    /// <summary>The number of the connector within the socket, from 0.</summary>
    public int Number { get; }

    /// <summary>Its link speed in bits per second: the slower of the port's and the network's; null if neither is stated.</summary>
    public double? Link { get; }

    /// <summary>The streams it sends, in the order of the plan.</summary>
    public ImmutableArray<NetworkStream> Sends { get; internal set; } = [];

    /// <summary>The streams it receives, in the order of the plan.</summary>
    public ImmutableArray<NetworkStream> Takes { get; internal set; } = [];

    /// <summary>Whether it sends streams of unstated size, so that what it sends is unknown.</summary>
    public bool SendsUnknown { get; internal set; }

    /// <summary>Whether it receives from such a port.</summary>
    public bool TakesUnknown { get; internal set; }

    /// <summary>The rate it sends at, in bits per second; null if unknown.</summary>
    public double? SendBitRate => SendsUnknown ? null : NetworkLoad.Sum(Sends);

    /// <summary>The rate it receives at, in bits per second; null if unknown.</summary>
    public double? TakeBitRate => TakesUnknown ? null : NetworkLoad.Sum(Takes);

    /// <summary>Its name: <c>rack.net</c>, with the connector's number if there are several.</summary>
    public string Name => Math.Max(Connectors(Side.In), Connectors(Side.Out)) > 1 ? $"{Device.Name}.{Socket.Name} (connector {Number + 1})" : $"{Device.Name}.{Socket.Name}";

    private int Connectors(Side side) => NetworkLoad.ConnectorsOf(Socket, side);
}

/// <summary>The load of a network, in acts in which it is the same.</summary>
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

    /// <summary>The parameters of its streams.</summary>
    public StreamProfile Profile { get; }

    /// <summary>Its streams, in the order of the plan; for a second leg, those that it carries redundantly.</summary>
    public ImmutableArray<NetworkStream> Streams { get; }

    /// <summary>Its ports, in the order in which they join.</summary>
    public ImmutableArray<PortLoad> Ports { get; }

    /// <summary>Whether some port sends streams of unstated size.</summary>
    public bool HasUnknownStreams => Ports.Any(p => p.SendsUnknown);

    /// <summary>
    /// The bit rate of all streams together, in bits per second: an upper bound for any link between its switches. Null if unknown.
    /// </summary>
    public double? BitRate => HasUnknownStreams ? null : Sum(Streams);

    /// <summary>
    /// The rate at which data arrives at a port if switches flood multicast to every port, in bits per second: all multicast but its own, and
    /// unicast to it. Null if unknown.
    /// </summary>
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
