using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Facts;

/// <summary>
/// How the streams of a network are made: what its statement says, else what the network says whose second leg it is, else
/// what its format says. What none of them says is unknown.
/// </summary>
public sealed class StreamProfile
{
    private StreamProfile()
    {
    }

    /// <summary>The packet time that the plan sets, in seconds; null where it sets none.</summary>
    public double? PacketTime { get; private init; }

    /// <summary>The packet time that the format's devices use where nothing is set, in seconds.</summary>
    public double? UsualPacketTime { get; private init; }

    /// <summary>The bytes of a sample.</summary>
    public int? SampleBytes { get; private init; }

    /// <summary>What the sound is wrapped in.</summary>
    public Wrapping? Wrapping { get; private init; }

    /// <summary>The most bytes of sound in a packet: what the format allows, and what the MTU leaves.</summary>
    public int? Payload { get; private init; }

    /// <summary>The channels that a stream may have for every receiver of the format to take it; null where the format does not say.</summary>
    public int? TakenByAll { get; private init; }

    /// <summary>The speed of its links, where a port does not say its own, in bits per second.</summary>
    public double? Link { get; private init; }

    /// <summary>The share of a link that streams may fill, from 0 to 1.</summary>
    public double Budget { get; private init; }

    /// <summary>Whether the plan sets that share.</summary>
    public bool IsBudgetSet { get; private init; }

    /// <summary>Whether each receiver gets streams of its own, whatever the port.</summary>
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
    /// The packet time of what a port sends, in seconds: what the plan sets; else the longest that the port's conformance level
    /// has for such a stream, the nearest to the usual one that the port has, or the usual one. Null where nothing says.
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

    /// <summary>The packet times that a port has, in seconds; null where its gear does not say.</summary>
    public static (double Shortest, double Longest)? PacketTimesOf(Socket port)
    {
        ArgumentNullException.ThrowIfNull(port);
        return port.Settings["packet_time"] is { Value: { Measure: Measure.Time, Value: > 0 } low, High: { } high } && high.Value >= low.Value ? (low.Value, high.Value) : null;
    }

    /// <summary>The conformance level of a port; null where its gear does not say.</summary>
    public static ConformanceLevel? LevelOf(Socket port)
    {
        ArgumentNullException.ThrowIfNull(port);
        return port.Settings["conformance"]?.Text is { } name ? ConformanceLevel.Find(name) : null;
    }

    internal static int? Count(Setting? setting) => setting?.Value is { Measure: Measure.None, Value: >= 1 and < int.MaxValue } count ? (int)count.Value : null;

    private static double? Amount(Setting? setting, Measure measure) => setting?.Value is { Value: > 0 } amount && amount.Measure == measure ? amount.Value : null;
}
