using PatchLang.Facts;

namespace PatchLang.Cli.Rendering;

/// <summary>The declarations that would settle what is unknown of a network's load.</summary>
internal static class NetworkGaps
{
    /// <summary>Each gap once: "link speed unknown: `link` in network stage".</summary>
    public static IEnumerable<string> Of(NetworkLoad load)
    {
        var network = $"network {load.Network.Symbol.Name}";
        var format = $"format {load.Network.Format.Name}";
        if (load.Ports.Any(p => p.Link is null)) yield return $"link speed unknown: `link` in {network}";
        foreach (var words in load.Ports.Where(p => p.SendsUnknown).Select(p => $"streams unknown: no `block` of {p.Socket.Name} in {p.Device.Model.Gear.Sort} {p.Device.Model.Gear.Name}").Distinct())
            yield return words;
        var unknown = load.Streams.Where(s => s.Packet is null).ToList();
        if (unknown.Count == 0) yield break;
        if (load.Profile.Wrapping is null) yield return $"load unknown: no `transport` in {format}";
        if (load.Profile.SampleBytes is null) yield return $"load unknown: no `encoding` in {network}";
        if (unknown.Exists(s => load.Profile.PacketTimeOf(s.Sender.Socket, s.Channels) is null)) yield return $"load unknown: no `packet_time` in {network}";
        foreach (var device in unknown.Where(s => !(s.Sender.Socket.Rate > 0)).Select(s => s.Sender.Device.Name).Distinct())
            yield return $"load unknown: the sample rate of {device}";
    }
}
