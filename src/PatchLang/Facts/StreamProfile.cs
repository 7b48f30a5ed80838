using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Facts;

/// <summary>
/// The parameters of a network's streams: from its own statement, else from that of the network whose second leg it is, else
/// from its format. What none of them states is unknown.
/// </summary>
public sealed class StreamProfile
{
    private StreamProfile()
    {
    }

    /// <summary>The packet time set in the plan, in seconds; null if none is.</summary>
    public double? PacketTime { get; private init; }

    /// <summary>The format's default packet time, in seconds.</summary>
    public double? UsualPacketTime { get; private init; }

    /// <summary>The bytes per sample.</summary>
    public int? SampleBytes { get; private init; }

    /// <summary>The protocol that carries the audio.</summary>
    public Wrapping? Wrapping { get; private init; }

    /// <summary>The most bytes of audio in a packet: as the format allows, and as the MTU leaves.</summary>
    public int? Payload { get; private init; }

    /// <summary>The most channels per stream that every receiver of the format supports; null if the format does not say.</summary>
    public int? TakenByAll { get; private init; }

    /// <summary>The speed of its links, for ports that state none, in bits per second.</summary>
    public double? Link { get; private init; }

    /// <summary>The share of a link that streams may use, from 0 to 1.</summary>
    public double Budget { get; private init; }

    /// <summary>Whether the plan sets that share.</summary>
    public bool IsBudgetSet { get; private init; }

    /// <summary>Whether each receiver gets its own streams, whatever the port.</summary>
    public bool IsUnicast { get; private init; }

    /// <summary>The profile of a network.</summary>
    public static StreamProfile Of(Network network)
    {
        ArgumentNullException.ThrowIfNull(network);
        var format = network.Format.Settings;
        var packetTime = Quantity("packet_time", Measure.Time);
        Wrapping? wrapping = format["transport"]?.Text switch
        {
            "rtp" => Physics.Wrapping.Rtp,
            "avtp" => Physics.Wrapping.Avtp,
            _ => null,
        };
        var mtu = Count(Own("mtu")) ?? StreamPacket.UsualMtu;
        var budget = Quantity("budget", Measure.Share) is <= 100 and var share ? share / 100 : (double?)null;
        return new StreamProfile
        {
            PacketTime = packetTime,
            UsualPacketTime = Amount(format["packet_time"], Measure.Time),
            SampleBytes = (Own("encoding") ?? format["encoding"])?.Text switch
            {
                "L16" => 2,
                "L24" => 3,
                "L32" => 4,
                _ => null,
            },
            Wrapping = wrapping,
            Payload = wrapping is { } around ? Math.Max(0, Math.Min(Count(format["payload"]) ?? int.MaxValue, mtu - StreamPacket.HeadersOf(around))) : null,
            TakenByAll = Count(format["block"]),
            Link = network.Symbol.Link ?? network.Group.Symbol.Link,
            Budget = budget ?? LinkLoad.UsualBudget,
            IsBudgetSet = budget is not null,
            IsUnicast = Own("unicast") is not null,
        };

        Setting? Own(string name) => network.Symbol.Settings[name] ?? network.Group.Symbol.Settings[name];

        double? Quantity(string name, Measure measure) => Amount(Own(name), measure);
    }

    /// <summary>
    /// The packet time of a stream that a port sends, in seconds: as the plan sets; else the longest that the port's conformance level
    /// defines for such a stream; else the port's own nearest to the default; else the default. Null if nothing is stated.
    /// </summary>
    /// <param name="sender">The port.</param>
    /// <param name="channels">The channels in the stream.</param>
    public double? PacketTimeOf(Socket sender, int channels)
    {
        ArgumentNullException.ThrowIfNull(sender);
        if (PacketTime is { } set) return set;
        if (LevelOf(sender) is { } level)
        {
            double? longest = null;
            foreach (var range in level.Sends)
                if (range.Rate.Equals(sender.Rate) && channels >= range.Least && channels <= range.Most) longest = Math.Max(longest ?? 0, range.PacketTime);
            if (longest is not null) return longest;
        }
        if (PacketTimesOf(sender) is not { } own) return UsualPacketTime;
        if (UsualPacketTime is { } usual) return Math.Clamp(usual, own.Shortest, own.Longest);
        return own.Shortest.Equals(own.Longest) ? own.Shortest : null;
    }

    /// <summary>The range of packet times that a port supports, in seconds; null if its gear does not say.</summary>
    public static (double Shortest, double Longest)? PacketTimesOf(Socket port)
    {
        ArgumentNullException.ThrowIfNull(port);
        return port.Settings["packet_time"] is { Value: { Measure: Measure.Time, Value: > 0 } low, High: { } high } && high.Value >= low.Value ? (low.Value, high.Value) : null;
    }

    /// <summary>The conformance level of a port; null if its gear does not say.</summary>
    public static ConformanceLevel? LevelOf(Socket port)
    {
        ArgumentNullException.ThrowIfNull(port);
        return port.Settings["conformance"]?.Text is { } name ? ConformanceLevel.Find(name) : null;
    }

    internal static int? Count(Setting? setting) => setting?.Value is { Measure: Measure.None, Value: >= 1 and < int.MaxValue } count ? (int)count.Value : null;

    private static double? Amount(Setting? setting, Measure measure) => setting?.Value is { Value: > 0 } amount && amount.Measure == measure ? amount.Value : null;
}
