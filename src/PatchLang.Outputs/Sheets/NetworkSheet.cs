using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>The network sheet: each network's settings and members, and every route, by transmitter and by receiver.</summary>
internal static class NetworkSheet
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var sections = ImmutableArray.CreateBuilder<Section>();
        var loads = book.Plan.Loads.All.Where(l => l.Acts.Meets(book.Acts)).ToLookup(l => l.Network);
        foreach (var network in book.Rig.Networks)
        {
            if (!network.Symbol.Acts.Meets(book.Acts)) continue;
            var name = network.Symbol.Label ?? network.Symbol.Name;
            sections.Add(new Section($"{name}: settings", [new("Set"), new("To"), Column.Tick()], [.. Settings(book, network)]));
            sections.Add(new Section($"{name}: members", [new("Port"), new("Unit"), new("Stands at"), new("Sends", ColumnKind.Number), new("Receives", ColumnKind.Number), new("Clock"), Column.WriteIn("Address"), Column.Tick("Seen")], [.. Members(book, network)]));
            foreach (var load in loads[network]) AddLoad(name, load);
            var routes = book.RoutesOn(network).ToList();
            if (routes.Count == 0) continue;
            sections.Add(new Section($"{name}: routes by transmitter", [new("Transmitter"), new("Channel", ColumnKind.Number), new("Signal"), new("To"), new("Acts"), Column.Tick("Set")],
                [.. routes.GroupBy(r => (r.From, r.Signal)).OrderBy(g => g.Key.From.ToString(), NaturalOrder.Instance).ThenBy(g => g.Min(r => r.Acts.First)).Select(g => book.RowOf(
                    [PlanBook.Written(g.Key.From.Device, g.Key.From.Socket), g.Key.From.Channel + 1, g.Key.Signal, string.Join(", ", g.Select(r => r.To.ToString()).Distinct().Order(NaturalOrder.Instance)), book.During(g.Aggregate(ActSet.None, (a, r) => a | r.Acts)), Cell.Empty],
                    g.First().Place, g.Skip(1).Select(r => r.Place)))]));
            sections.Add(new Section($"{name}: routes by receiver", [new("Receiver"), new("Channel", ColumnKind.Number), new("Signal"), new("From"), new("Acts"), Column.Tick("Set"), Column.Tick("Sound")],
                [.. routes.OrderBy(r => r.To.ToString(), NaturalOrder.Instance).ThenBy(r => r.Acts.First).Select(r => book.RowOf(
                    [PlanBook.Written(r.To.Device, r.To.Socket), r.To.Channel + 1, r.Signal, r.From.ToString(), book.During(r.Acts), Cell.Empty, Cell.Empty], r.Place))])
            {
                Remark = "Allow a new route a few seconds to settle before you look for a fault (common practice).",
            });
        }
        if (sections.Count == 0) yield break;
        yield return new Sheet("network", "Network", "For whoever sets the network: settings, members, and every route, once by who sends and once by who receives.", book.WholeDay, sections.DrainToImmutable())
        {
            Cautions = [Cautions.Ears],
        };

        void AddLoad(string name, NetworkLoad load)
        {
            var during = book.During(load.Acts) is { Length: > 0 } acts ? $", {acts}" : "";
            if (!load.Streams.IsEmpty)
                sections.Add(new Section($"{name}: streams{during}", [new("Stream"), new("Sent"), new("Channels", ColumnKind.Number), new("Packet time"), new("On the wire"), new("To"), Column.Tick("Set")],
                    [.. load.Streams.OrderBy(s => s.ToString(), NaturalOrder.Instance).Select(s => book.RowOf(
                        [
                            s.ToString(), s.IsMulticast ? "multicast" : "unicast", s.Channels, load.Profile.PacketTimeOf(s.Sender.Socket, s.Channels) is { } time ? $"{Quantity.Number(time * 1000)} ms" : "not known",
                            Speed(s.BitRate), string.Join(", ", s.Receivers.Select(r => PlanBook.Written(r.Device, r.Socket)).Distinct().Order(NaturalOrder.Instance)), Cell.Empty,
                        ],
                        book.Plan.PlaceOf(load.Network.Symbol)))])
                {
                    Remark = $"All together {Speed(load.BitRate)}: the most that a link between switches has to carry.",
                });
            sections.Add(new Section($"{name}: load of each link{during}", [new("Port"), new("Link"), new("Streams sent", ColumnKind.Number), new("Sends"), new("Streams taken", ColumnKind.Number), new("Takes"), Column.WriteIn("Measured")],
                [.. load.Ports.OrderBy(p => p.Name, NaturalOrder.Instance).Select(p => book.RowOf(
                    [p.Name, Speed(p.Link), p.Sends.Length, Speed(p.SendBitRate), p.Takes.Length, Speed(p.TakeBitRate), Cell.Empty], book.Plan.PlaceOf(load.Network.Symbol), book.Plan.PlaceOf(p.Device.Unit)))]));
        }
    }

    private static string Speed(double? bits) => bits switch
    {
        null => "not known",
        >= 1e9 => $"{Quantity.Number(Math.Round(bits.Value / 1e9, 2))} Gbit/s",
        _ => $"{Quantity.Number(Math.Round(bits.Value / 1e6, 1))} Mbit/s",
    };

    /// <summary>One channel from a transmitter to a receiver.</summary>
    public sealed record NetworkRoute(GraphPoint From, GraphPoint To, string Signal, ActSet Acts, Findings.Place Place);

    /// <summary>The routes over each network, one per signal.</summary>
    public static ILookup<Network, NetworkRoute> AllRoutes(PlanBook book) =>
        Enumerable.Range(0, book.Graph.EdgeCount)
            .Where(e => book.Graph.HopOf(e).Kind == HopKind.Network && book.Graph.ActsOf(e).Meets(book.Acts))
            .GroupBy(e => (book.Graph.HopOf(e).Network, From: book.Graph.FromOf(e), To: book.Graph.ToOf(e), Signal: book.TitleAt(e)))
            .ToLookup(g => g.Key.Network!, g => new NetworkRoute(
                book.Rig.PointOf(g.Key.From), book.Rig.PointOf(g.Key.To), g.Key.Signal, g.Aggregate(ActSet.None, (a, e) => a | book.Graph.ActsOf(e)) & book.Acts, book.Plan.WayOf(g.First()).Place));

    private static IEnumerable<Row> Settings(PlanBook book, Network network)
    {
        var place = book.Plan.PlaceOf(network.Symbol);
        yield return Row("Format", network.Format.Title ?? network.Format.Name);
        if (network.Ports.Select(p => (double?)p.Device.Model.Rate).FirstOrDefault() is { } rate) yield return Row("Sample rate", Quantity.Frequency(rate));
        if (network.Symbol.Latency is { } latency) yield return Row("Latency", $"{Quantity.Number(latency * 1000)} ms");
        if (network.Symbol.Link is { } link) yield return Row("Link speed", Speed(link));
        foreach (var view in book.Plan.Clocks.Views.Where(v => v.Acts.Meets(book.Acts)))
            yield return Row($"Clock leader{(book.During(view.Acts) is { Length: > 0 } acts ? $", {acts}" : "")}", view.LeaderOf(network) is { } leader ? leader.Name : "not decided");
        if (network.Group != network) yield return Row("Second leg of", network.Group.Symbol.Label ?? network.Group.Symbol.Name);

        Row Row(string set, string to) => book.RowOf([set, to, Cell.Empty], place);
    }

    private static IEnumerable<Row> Members(PlanBook book, Network network) =>
        network.Ports.OrderBy(p => p.Device.Name, NaturalOrder.Instance).Select(p => book.RowOf(
            [
                PlanBook.Written(p.Device, p.Socket), PlanBook.TitleOf(p.Device.Outermost), PlanBook.StandsAt(p.Device), Used(book, p.Device, p.Socket, Side.Out), Used(book, p.Device, p.Socket, Side.In),
                book.Rig.ClockOf(p.Device, p.Socket) is { } clock ? ClockSheet.Reads(book, book.Plan.Clocks.In(book.Acts)[clock]) : "", Cell.Empty, Cell.Empty,
            ],
            book.Plan.PlaceOf(network.Symbol), book.Plan.PlaceOf(p.Device.Unit)));

    private static int Used(PlanBook book, Device device, Socket socket, Side side)
    {
        var used = 0;
        for (var channel = 0; channel < socket.CountOn(side); channel++)
        {
            var node = device.FirstNode + socket.FirstOn(side) + channel;
            foreach (var edge in side == Side.Out ? book.Graph.OutOf(node) : book.Graph.Into(node))
            {
                if (!book.Graph.ActsOf(edge).Meets(book.Acts)) continue;
                used++;
                break;
            }
        }
        return used;
    }
}
