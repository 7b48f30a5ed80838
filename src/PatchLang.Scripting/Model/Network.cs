using System.Collections.Immutable;
using PatchLang.Facts;

namespace PatchLang.Scripting.Model;

/// <summary>A network: ports that reach each other.</summary>
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

    /// <summary>What it is called on paper; null where the plan gives no label.</summary>
    public string? Label => Made.Symbol.Label;

    /// <summary>The name of the format its members speak: <c>aes67</c>.</summary>
    public string Format => Made.Format.Name;

    /// <summary>When it is there.</summary>
    public During During => new(Rig, Made.Symbol.Acts);

    /// <summary>The latency with which its ports receive; null where nothing is written.</summary>
    public TimeSpan? Latency => Made.Symbol.Latency is { } seconds ? Model.Latency.Seconds(seconds) : null;

    /// <summary>The speed of its links; null where nothing is written.</summary>
    public BitRate? Link => Made.Symbol.Link is { } link ? new BitRate(link) : null;

    /// <summary>The network of which it is the second leg, carrying the same; null where it is none.</summary>
    public Network? SecondLegOf => Made.Group == Made ? null : Rig.NetworkOf(Made.Group);

    /// <summary>The ports that join it.</summary>
    public IReadOnlyList<Port> Ports => field ??= [.. Made.Ports.Select(p => Rig.UnitOf(p.Device).PortOf(p.Socket))];

    /// <summary>What goes over it, for each set of acts in which that differs.</summary>
    public IReadOnlyList<Load> Loads => loads.Value;

    /// <summary>All its streams of the whole day; one that is there in several sets of acts is listed for each.</summary>
    public IEnumerable<NetworkStream> Streams => Loads.SelectMany(l => l.Streams);

    /// <summary>All streams together, when there are most; null where that is not known.</summary>
    public BitRate? Load => Loads.Count == 0 || Loads.Any(l => l.BitRate is null) ? null : Loads.Max(l => l.BitRate);

    /// <summary>Where it is declared.</summary>
    public Place Place => Rig.PlaceOf(Made.Symbol);

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>What goes over a network in some acts.</summary>
public sealed class Load
{
    private readonly Rig rig;
    private readonly NetworkLoad made;

    internal Load(Rig rig, NetworkLoad made) => (this.rig, this.made) = (rig, made);

    /// <summary>When.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>The streams, in the order of the plan.</summary>
    public IReadOnlyList<NetworkStream> Streams => field ??= [.. made.Streams.Select(s => new NetworkStream(rig, s, made.Acts))];

    /// <summary>All of them together: the most that a link between two switches has to carry; null where that is not known.</summary>
    public BitRate? BitRate => made.BitRate is { } rate ? new BitRate(rate) : null;

    /// <summary>What goes through each port.</summary>
    public IReadOnlyList<LinkLoad> Ports => field ??= [.. made.Ports.Select(p => new LinkLoad(rig, p, made.Acts))];
}

/// <summary>What goes through one connector of a network's port.</summary>
public sealed class LinkLoad
{
    private readonly Rig rig;
    private readonly PortLoad made;
    private readonly Declarations.ActSet acts;

    internal LinkLoad(Rig rig, PortLoad made, Declarations.ActSet acts) => (this.rig, this.made, this.acts) = (rig, made, acts);

    /// <summary>The port.</summary>
    public Port Port => rig.UnitOf(made.Device).PortOf(made.Socket);

    /// <summary>Which of the port's connectors, from 1.</summary>
    public int Connector => made.Number + 1;

    /// <summary>The speed of its link; null where nothing says.</summary>
    public BitRate? Link => made.Link is { } link ? new BitRate(link) : null;

    /// <summary>The streams it sends.</summary>
    public IEnumerable<NetworkStream> Sends => made.Sends.Select(s => new NetworkStream(rig, s, acts));

    /// <summary>The streams it takes.</summary>
    public IEnumerable<NetworkStream> Takes => made.Takes.Select(s => new NetworkStream(rig, s, acts));

    /// <summary>What it sends; null where that is not known.</summary>
    public BitRate? Sent => made.SendBitRate is { } rate ? new BitRate(rate) : null;

    /// <summary>What it takes; null where that is not known.</summary>
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

    /// <summary>When it is there.</summary>
    public During During { get; }

    /// <summary>The port that sends it.</summary>
    public Port Sender => rig.UnitOf(made.Sender.Device).PortOf(made.Sender.Socket);

    /// <summary>Its first channel on that port, from 1.</summary>
    public int First => made.First + 1;

    /// <summary>Its channels, all of the block, used or not.</summary>
    public int Channels => made.Channels;

    /// <summary>Whether it is sent once for all who take it.</summary>
    public bool IsMulticast => made.IsMulticast;

    /// <summary>The ports that take it.</summary>
    public IEnumerable<Port> Receivers => made.Receivers.Select(r => rig.UnitOf(r.Device).PortOf(r.Socket));

    /// <summary>What it takes of a link; null where that is not known.</summary>
    public BitRate? BitRate => made.BitRate is { } rate ? new BitRate(rate) : null;

    /// <summary>How a plan writes its channels: <c>rack.net[1..8]</c>.</summary>
    public override string ToString() => made.ToString();
}
