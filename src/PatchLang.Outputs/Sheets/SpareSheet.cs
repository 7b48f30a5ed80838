using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>The spare sheet: what is free and what is reserved, for plugging in a late guest.</summary>
internal static class SpareSheet
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var reserved = new Dictionary<int, ActSet>();
        foreach (var reservation in book.Plan.Reservations)
            foreach (var node in reservation.Nodes) reserved[node] = reserved.GetValueOrDefault(node) | reservation.Acts;
        var spare = book.Rig.Devices.Where(d => d.Acts.Meets(book.Acts)).OrderBy(d => d.Name, NaturalOrder.Instance)
            .SelectMany(d => d.Model.Sockets.SelectMany(s => new[] { Side.In, Side.Out, Side.Inner }.Where(side => s.CountOn(side) > 0).Select(side => RowOf(book, d, s, side, reserved))))
            .OfType<Row>().ToImmutableArray();
        var kept = book.Plan.Reservations.Where(r => r.Acts.Meets(book.Acts)).SelectMany(r => r.Nodes.GroupBy(n => (book.Rig.PointOf(n).Device, book.Rig.PointOf(n).Socket))
            .Select(g => book.RowOf(
                [PlanBook.Written(g.Key.Device, g.Key.Socket), Words.Runs(g.Select(n => book.Rig.PointOf(n).Channel + 1).Distinct().Order()), r.Why, book.During(r.Acts), Cell.Empty], r.Place))).ToImmutableArray();
        var sections = ImmutableArray.CreateBuilder<Section>();
        if (!spare.IsEmpty)
            sections.Add(new Section("Spare", [new("Socket"), new("Side"), new("Of", ColumnKind.Number), new("Free", ColumnKind.Number), new("Free in every act"), Column.WriteIn("Given to")], spare)
            {
                Remark = "Sockets in use, with what is left of them.",
            });
        if (!kept.IsEmpty) sections.Add(new Section("Reserved", [new("Socket"), new("Channels"), new("Why"), new("Acts"), Column.WriteIn("Notes")], kept));
        if (sections.Count > 0)
            yield return new Sheet("spare-channels", "Spare and reserved channels", "For whoever finds room for what comes late: what is free in every act, and what is kept free, and why.", book.WholeDay, sections.DrainToImmutable());
    }

    /// <summary>A row for a socket that is partly in use; null if it is unused or full.</summary>
    private static Row? RowOf(PlanBook book, Device device, Socket socket, Side side, Dictionary<int, ActSet> reserved)
    {
        var (used, free) = (0, new List<int>());
        for (var channel = 0; channel < socket.CountOn(side); channel++)
        {
            var node = device.FirstNode + socket.FirstOn(side) + channel;
            if (IsUsed(book, node)) used++;
            else if (!reserved.TryGetValue(node, out var acts) || !acts.Meets(book.Acts)) free.Add(channel + 1);
        }
        if (used == 0 || free.Count == 0) return null;
        return book.RowOf(
            [PlanBook.Written(device, socket), side switch { Side.In => "in", Side.Out => "out", _ => socket.Sort == SocketSort.Strip ? "strips" : "mixes" }, socket.CountOn(side), free.Count, Words.Runs(free), Cell.Empty],
            book.Plan.PlaceOf(device.Unit));
    }

    private static bool IsUsed(PlanBook book, int node)
    {
        foreach (var edge in book.Graph.Into(node))
            if (book.Graph.ActsOf(edge).Meets(book.Acts)) return true;
        foreach (var edge in book.Graph.OutOf(node))
            if (book.Graph.ActsOf(edge).Meets(book.Acts)) return true;
        return false;
    }
}
