using System.Collections.Immutable;
using PatchLang.Facts;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>The load of a network for a person to read: what it carries, and how much of each port's link that takes.</summary>
internal sealed class NetworkText(Compilation compilation, NetworkLoad load, Terminal terminal)
{
    /// <summary>Writes it.</summary>
    public void Write()
    {
        var during = ActNames.During(compilation, load.Acts) is { } acts ? $", {acts}" : "";
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, Readable.Line($"network {load.Network.Symbol.Name}{during}")));
        if (load.Streams.IsEmpty && !load.HasUnknownStreams)
        {
            terminal.Output.WriteLine("  Nothing goes over it.");
            return;
        }
        terminal.Output.WriteLine($"  {Together()}; at most {Percent(load.Profile.Budget)} of a link");
        TextTable.Write(terminal, ["port", "link", "sends", "takes", "fills"], load.Ports.Select(Row));
        foreach (var words in NetworkGaps.Of(load)) terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, Readable.Line($"  {words}")));
    }

    /// <summary>
    /// The load of a port's link in the busier direction, as a fraction, and whether it includes all streams. Null if nothing is known.
    /// </summary>
    public static (double? Share, bool IsWhole) FillOf(PortLoad port)
    {
        if (port.Link is not { } link) return (null, false);
        var isWhole = port.SendBitRate is not null && port.TakeBitRate is not null;
        var most = Math.Max(port.SendBitRate ?? 0, port.TakeBitRate ?? 0);
        return (isWhole || most > 0 ? most / link : null, isWhole);
    }

    /// <summary>The packets per second of all streams; null if unknown.</summary>
    public static double? PacketsOf(NetworkLoad load) =>
        load.HasUnknownStreams || load.Streams.Any(s => s.Packet is null) ? null : load.Streams.Sum(s => s.Packet!.Value.PacketsPerSecond);

    private string Together() =>
        load.HasUnknownStreams ? $"{(load.Streams.IsEmpty ? "an unknown number of streams" : $"{Count(load.Streams.Length)} and an unknown number more")}"
        : PacketsOf(load) is { } packets && load.BitRate is { } rate ? $"{Count(load.Streams.Length)}, {Quantity.Number(packets)} packets/s, {Quantity.BitRate(rate)} together"
        : $"{Count(load.Streams.Length)}, their load unknown";

    private ImmutableArray<string> Row(PortLoad port) =>
    [
        port.Name,
        port.Link is { } link ? Quantity.BitRate(link) : "unknown",
        Load(port.Sends, port.SendsUnknown, port.SendBitRate),
        Load(port.Takes, port.TakesUnknown, port.TakeBitRate),
        Fills(port),
    ];

    private static string Load(ImmutableArray<NetworkStream> streams, bool isUnknown, double? rate) =>
        isUnknown ? "unknown"
        : streams.IsEmpty ? ""
        : $"{Count(streams.Length)}, {(rate is { } bits ? Quantity.BitRate(bits) : "load unknown")}";

    private string Fills(PortLoad port)
    {
        if (port.Sends.IsEmpty && port.Takes.IsEmpty && !port.SendsUnknown && !port.TakesUnknown) return "";
        var (share, isWhole) = FillOf(port);
        if (share is not { } fill) return "unknown";
        return $"{(isWhole ? "" : "at least ")}{Percent(fill)}{(fill > load.Profile.Budget ? ", too much" : "")}";
    }

    private static string Count(int streams) => streams == 1 ? "1 stream" : $"{streams} streams";

    private static string Percent(double share) => $"{Quantity.Number(Math.Round(share * 100, 1))} %";
}
