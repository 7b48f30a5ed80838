using System.Collections.Immutable;
using PatchLang.Facts;

namespace PatchLang.Cli.Rendering;

/// <summary>
/// The load of a network in acts in which it is the same. Rates are in bits per
/// second. Null stands for unknown; <c>Unknown</c> lists what would settle it.
/// </summary>
internal sealed record JsonNetwork(
    string Network, ImmutableArray<string> Acts, int? Streams, double? PacketsPerSecond, double? BitRate, double Budget, ImmutableArray<JsonPort> Ports, ImmutableArray<string> Unknown)
{
    public static JsonNetwork Of(Compilation compilation, NetworkLoad load) =>
        new(
            load.Network.Symbol.Name,
            [.. compilation.Acts.Where(a => load.Acts.Has(a.Number)).Select(a => a.Name)],
            load.HasUnknownStreams ? null : load.Streams.Length,
            NetworkText.PacketsOf(load),
            load.BitRate,
            load.Profile.Budget,
            [.. load.Ports.Select(JsonPort.Of)],
            [.. NetworkGaps.Of(load)]);
}

/// <summary>A port of a network; <c>Fill</c> is the load of its link in the busier direction, as a fraction of the link's rate.</summary>
internal sealed record JsonPort(string Port, double? Link, int? Sends, double? SendBitRate, int? Takes, double? TakeBitRate, double? Fill)
{
    public static JsonPort Of(PortLoad port) =>
        new(
            port.Name,
            port.Link,
            port.SendsUnknown ? null : port.Sends.Length,
            port.SendBitRate,
            port.TakesUnknown ? null : port.Takes.Length,
            port.TakeBitRate,
            NetworkText.FillOf(port) is (var fill, true) ? fill : null);
}
