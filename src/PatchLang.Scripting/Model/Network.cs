using System.Collections.Immutable;
using PatchLang.Facts;

namespace PatchLang.Scripting.Model;

/// <summary>A network: ports that share one switched network.</summary>
public sealed class Network : IPlaced
{
    private readonly Lazy<ImmutableArray<Load>> loads;

    internal Network(Rig rig, Graph.Network made)
    {
        (Rig, Made) = (rig, made);
        loads = new(() => [.. rig.Plan.Loads.All.Where(l => l.Network == made).Select(l => new Load(rig, l))]);
    }

    internal Graph.Network Made { get; }

    /// <summary>The plan it is in.</summary>
    public Rig Rig { get; }

    /// <inheritdoc/>
    public string Name => Made.Symbol.Name;

    /// <summary>Its label; null if it has none.</summary>
    public string? Label => Made.Symbol.Label;

    /// <summary>The name of its format: <c>aes67</c>.</summary>
    public string Format => Made.Format.Name;

    /// <summary>The acts in which it exists.</summary>
    public During During => new(Rig, Made.Symbol.Acts);

    /// <summary>The receive latency of its ports; null if not stated.</summary>
    public TimeSpan? Latency => Made.Symbol.Latency is { } seconds ? Model.Latency.Seconds(seconds) : null;

    /// <summary>The speed of its links; null if not stated.</summary>
    public BitRate? Link => Made.Symbol.Link is { } link ? new BitRate(link) : null;

    /// <summary>The network of which it is the second leg, carrying the same streams redundantly; null if it is none.</summary>
    public Network? SecondLegOf => Made.Group == Made ? null : Rig.NetworkOf(Made.Group);

    /// <summary>The ports that are members.</summary>
    public IReadOnlyList<Port> Ports => field ??= [.. Made.Ports.Select(p => Rig.UnitOf(p.Device).PortOf(p.Socket))];

    /// <summary>Its load, for each set of acts in which that differs.</summary>
    public IReadOnlyList<Load> Loads => loads.Value;

    /// <summary>All its streams of the whole day; a stream that exists in several sets of acts is listed for each.</summary>
    public IEnumerable<NetworkStream> Streams => Loads.SelectMany(l => l.Streams);

    /// <summary>The bit rate of all streams together, at its highest over the day; null if unknown.</summary>
    public BitRate? Load => Loads.Count == 0 || Loads.Any(l => l.BitRate is null) ? null : Loads.Max(l => l.BitRate);

    /// <summary>Where it is declared.</summary>
    public Place Place => Rig.PlaceOf(Made.Symbol);

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>The load of a network in some acts.</summary>
public sealed class Load
{
    private readonly Rig rig;
    private readonly NetworkLoad made;

    internal Load(Rig rig, NetworkLoad made) => (this.rig, this.made) = (rig, made);

    /// <summary>The acts it applies to.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>The streams, in the order of the plan.</summary>
    public IReadOnlyList<NetworkStream> Streams => field ??= [.. made.Streams.Select(s => new NetworkStream(rig, s, made.Acts))];

    /// <summary>The bit rate of all streams together, an upper bound for any link between two switches; null if unknown.</summary>
    public BitRate? BitRate => made.BitRate is { } rate ? new BitRate(rate) : null;

    /// <summary>The load of each port.</summary>
    public IReadOnlyList<LinkLoad> Ports => field ??= [.. made.Ports.Select(p => new LinkLoad(rig, p, made.Acts))];
}

/// <summary>The load of one connector of a network port.</summary>
public sealed class LinkLoad
{
    private readonly Rig rig;
    private readonly PortLoad made;
    private readonly Declarations.ActSet acts;

    internal LinkLoad(Rig rig, PortLoad made, Declarations.ActSet acts) => (this.rig, this.made, this.acts) = (rig, made, acts);

    /// <summary>The port.</summary>
    public Port Port => rig.UnitOf(made.Device).PortOf(made.Socket);

    /// <summary>The number of the connector on its port, from 1.</summary>
    public int Connector => made.Number + 1;

    /// <summary>The speed of its link; null if not stated.</summary>
    public BitRate? Link => made.Link is { } link ? new BitRate(link) : null;

    /// <summary>The streams it sends.</summary>
    public IEnumerable<NetworkStream> Sends => made.Sends.Select(s => new NetworkStream(rig, s, acts));

    /// <summary>The streams it receives.</summary>
    public IEnumerable<NetworkStream> Takes => made.Takes.Select(s => new NetworkStream(rig, s, acts));

    /// <summary>The rate it sends at; null if unknown.</summary>
    public BitRate? Sent => made.SendBitRate is { } rate ? new BitRate(rate) : null;

    /// <summary>The rate it receives at; null if unknown.</summary>
    public BitRate? Taken => made.TakeBitRate is { } rate ? new BitRate(rate) : null;
}

/// <summary>One stream on a network: a block of channels that a port sends.</summary>
public sealed class NetworkStream
{
    private readonly Rig rig;
    private readonly Facts.NetworkStream made;

    internal NetworkStream(Rig rig, Facts.NetworkStream made, Declarations.ActSet acts)
    {
        (this.rig, this.made) = (rig, made);
        During = new During(rig, acts);
    }

    /// <summary>The acts in which it exists.</summary>
    public During During { get; }

    /// <summary>The port that sends it.</summary>
    public Port Sender => rig.UnitOf(made.Sender.Device).PortOf(made.Sender.Socket);

    /// <summary>Its first channel on that port, from 1.</summary>
    public int First => made.First + 1;

    /// <summary>The number of its channels: all of the block, used or not.</summary>
    public int Channels => made.Channels;

    /// <summary>Whether it is sent once for all receivers.</summary>
    public bool IsMulticast => made.IsMulticast;

    /// <summary>The ports that receive it.</summary>
    public IEnumerable<Port> Receivers => made.Receivers.Select(r => rig.UnitOf(r.Device).PortOf(r.Socket));

    /// <summary>Its bit rate on the wire; null if unknown.</summary>
    public BitRate? BitRate => made.BitRate is { } rate ? new BitRate(rate) : null;

    /// <summary>Its channels as a plan writes them: <c>rack.net[1..8]</c>.</summary>
    public override string ToString() => made.ToString();
}
