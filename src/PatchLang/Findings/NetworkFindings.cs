using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL08: the load of networks. Each kind is followed by the sentences it says.</summary>
public static class NetworkFindings
{
    /// <summary>PL0801: more streams than a port has.</summary>
    public static readonly FindingKind TooManyStreams = new("PL0801", Severity.Error, "more streams than a port has");

    /// <summary>PL0802: a stream of more channels than its receiver takes.</summary>
    public static readonly FindingKind StreamTooWide = new("PL0802", Severity.Error, "a stream of more channels than its receiver takes");

    /// <summary>PL0803: a link over its budget.</summary>
    public static readonly FindingKind LinkOverBudget = new("PL0803", Severity.Warning, "a link over its budget");

    /// <summary>PL0804: more sound than a packet takes.</summary>
    public static readonly FindingKind PayloadTooLarge = new("PL0804", Severity.Error, "more sound than a packet takes");

    /// <summary>PL0805: a packet time or rate that an end does not have.</summary>
    public static readonly FindingKind PacketsDiffer = new("PL0805", Severity.Error, "a packet time or rate that an end does not have");

    /// <summary>PL0806: multicast floods a slow port.</summary>
    public static readonly FindingKind Flooded = new("PL0806", Severity.Warning, "multicast floods a slow port");

    /// <summary>PL0807: snooping without a querier.</summary>
    public static readonly FindingKind NoQuerier = new("PL0807", Severity.Warning, "snooping without a querier") { HangsOn = Grounds.Joins };

    /// <summary>PL0808: two multicast groups on one MAC address.</summary>
    public static readonly FindingKind SameMac = new("PL0808", Severity.Warning, "two multicast groups on one MAC address");

    /// <summary>PL0809: an address that streams should not go to.</summary>
    public static readonly FindingKind WrongGroup = new("PL0809", Severity.Error, "an address that streams should not go to");

    /// <summary>PL0810: a latency setting that is too short.</summary>
    public static readonly FindingKind LatencyTooShort = new("PL0810", Severity.Error, "a latency setting that is too short");

    internal static FindingMessage Streams(string port, int asked, bool sends, int most, string during) =>
        new(TooManyStreams, $"{port} {(sends ? "sends" : "takes")} {Number(asked, "stream")}{during}; its gear can have {most}");

    internal static FindingMessage TooWide(string sender, int channels, string receiver, int most) =>
        new(StreamTooWide, $"{sender} sends streams of {Number(channels, "channel")}; {receiver} takes streams of {most} at most");

    internal static FindingMessage OverLink(string port, int count, bool sends, double rate, double link, double budget, int? fits, string during) =>
        new(LinkOverBudget, $"{port} {(sends ? "sends" : "takes")} {Number(count, "stream")}{during}, {Quantity.BitRate(rate)} on the wire, headers included; "
            + $"{Percent(budget)} of its {Quantity.BitRate(link)} link is {Quantity.BitRate(link * budget)}{Fit(count, fits)}");

    /// <summary>The same where the link is too slow for a single stream, and so for other ports as well.</summary>
    internal static FindingMessage AlsoOverLink(FindingMessage message, int others) =>
        others == 0 ? message : message with { Text = $"{message.Text}, and {others} more {(others == 1 ? "port has" : "ports have")} the same link" };

    internal static FindingMessage TooLong(string sender, int channels, double rate, double packetTime, long bytes, int payload, int fits) =>
        new(PayloadTooLarge, $"{Number(channels, "channel")} of {sender} at {Quantity.Frequency(rate)} make {bytes:N0} bytes every {Milliseconds(packetTime)}; a packet holds {payload:N0}, which is {Number(fits, "channel")}");

    internal static FindingMessage NotSent(string sender, string has, string network, double packetTime) =>
        new(PacketsDiffer, $"{sender} can send packets of {has}; {network} is set to packets of {Milliseconds(packetTime)}");

    internal static FindingMessage NotTaken(string sender, double packetTime, string receiver, string has) =>
        new(PacketsDiffer, $"{sender} sends packets of {Milliseconds(packetTime)}; {receiver} can take packets of {has}");

    internal static FindingMessage NotOfSender(string sender, string level, int channels, double rate, double packetTime) =>
        new(PacketsDiffer, $"{sender} is of level {level}, which has no streams of {Number(channels, "channel")} at {Quantity.Frequency(rate)} in packets of {Milliseconds(packetTime)}");

    internal static FindingMessage NotOfReceiver(string sender, int channels, double rate, double packetTime, string receiver, string level) =>
        new(PacketsDiffer, $"{sender} sends {Number(channels, "channel")} at {Quantity.Frequency(rate)} in packets of {Milliseconds(packetTime)}; {receiver} is of level {level}, which does not take them");

    internal static FindingMessage Floods(string network, double rate, string port, double link, double budget, int others, string during) =>
        new(Flooded, $"without snooping, {Quantity.BitRate(rate)} of {network} go to {port}{(others > 0 ? $" and {others} more ports" : "")}{during}; {Percent(budget)} of a {Quantity.BitRate(link)} link is {Quantity.BitRate(link * budget)}");

    internal static FindingMessage NobodyAsks(string network, double seconds) =>
        new(NoQuerier, $"{network} has snooping on, but no querier: its streams stop, or flood every port, about {Quantity.Number(seconds)} s after the last query") { Of = [network] };

    internal static FindingMessage QuerierElsewhere(string querier, string network) =>
        new(NoQuerier, $"{querier} is not on {network}, so it can't be its querier") { Of = [querier, network] };

    internal static FindingMessage OneMac(string first, string firstStream, string second, string secondStream, string mac) =>
        new(SameMac, first == second ? $"{firstStream} and {secondStream} go to one group, {first}"
            : $"{first} of {firstStream} and {second} of {secondStream} are one address to a switch, {mac}: whoever takes one gets both");

    internal static FindingMessage NoGroup(string address) =>
        new(WrongGroup, $"{address} is no multicast address: those are 224.0.0.0 to 239.255.255.255");

    internal static FindingMessage TakenGroup(string address, string use) =>
        new(WrongGroup, $"{address} is used by {use}");

    internal static FindingMessage OutsideGroup(string address) =>
        new(WrongGroup, $"{address} is outside of 239.0.0.0 to 239.255.255.255, which a site gives out itself");

    internal static FindingMessage GroupTwice(string stream, string address) =>
        new(WrongGroup, $"{stream} goes to {address} already");

    internal static FindingMessage NoIpGroup(string network, string format) =>
        new(WrongGroup, $"{network} is of {format}, whose streams have no IP address");

    internal static FindingMessage UnicastGroup(string stream) =>
        new(WrongGroup, $"{stream} is sent unicast, to each receiver's own address");

    internal static FindingMessage Impossible(double latency, double packetTime, int switches, double least) =>
        new(LatencyTooShort, $"{Milliseconds(latency)} is too short: a packet takes {Milliseconds(packetTime)} to fill{Switches(switches)}{(least > packetTime ? $", {Milliseconds(least)} in all" : "")}");

    internal static FindingMessage Tight(double latency, double packetTime, int packets, int switches, double least) =>
        new(LatencyTooShort, $"{Milliseconds(latency)} is short: {packets} packets of {Milliseconds(packetTime)} in the receiver's buffer{Switches(switches)} need {Milliseconds(least)}");

    /// <summary>A port's packet times, worded for a sentence.</summary>
    internal static string PacketTimes(double shortest, double longest) =>
        shortest.Equals(longest) ? Milliseconds(shortest) : $"{Quantity.Number(shortest * 1e3)} to {Milliseconds(longest)}";

    internal static string Milliseconds(double seconds) => Quantity.Number(seconds * 1e3) + " ms";

    private static string Switches(int switches) => switches > 0 ? $", and {Number(switches, "switch", "switches")} on the way" : "";

    private static string Percent(double share) => Quantity.Number(share * 100) + " %";

    private static string Fit(int count, int? fits) => fits is { } so ? $", enough for {so} of the {count}" : "";

    private static string Number(int count, string one, string? many = null) => count == 1 ? "1 " + one : $"{count} {many ?? one + "s"}";
}
