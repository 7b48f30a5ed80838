using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>Strips of labels to cut out, at actual size: for the lines of boxes, the strips of desks, and the ends of cables.</summary>
internal static class LabelStrips
{
    /// <summary>
    /// The default width and height of a line's label, in millimetres: room for eight letters of its name (common practice, no source).
    /// </summary>
    public static readonly (double Width, double Height) LineSize = (20, 14);

    private static readonly (double Width, double Height) CableSize = (44, 16);

    // In millimetres: the width of a bold letter, and the free space beside the name.
    private const double Letter = 2.25, Margins = 1.6;

    private static readonly ImmutableArray<Column> Columns = [new("Number"), new("Short name"), new("Name")];

    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var sections = ImmutableArray.CreateBuilder<Section>();
        foreach (var device in book.Rig.Devices.Where(d => d.Acts.Meets(book.Acts)).OrderBy(d => d.Name, NaturalOrder.Instance))
            foreach (var socket in device.Model.Sockets)
                if (IsLabelled(socket)) sections.AddRange(StripsOf(book, device, socket));
        var cables = CableLabels(book).ToImmutableArray();
        if (!cables.IsEmpty) sections.Add(new Section("Cables, one label for each end", Columns, cables) { Layout = SectionLayout.Strip, LabelSize = CableSize });
        if (sections.Count > 0)
            yield return new Sheet("label-strips", "Label strips", "To cut out and stick on: boxes, desks and cable ends, at size. Print at 100 %.", book.WholeDay, sections.DrainToImmutable());
    }

    /// <summary>
    /// Whether a socket gets labels: inputs of boxes, and strips and mixes of desks. Those that can't be written on, such as network channels, don't.
    /// </summary>
    private static bool IsLabelled(Socket socket) =>
        socket.IsInner || (socket.Format is { Joins: Joining.PointToPoint, IsDigital: false } && socket.CountOn(Side.In) > 1 && socket.PerConnector(Side.In) == 1) || (socket.Sort == SocketSort.Out && socket.Format is { Joins: Joining.PointToPoint, IsDigital: false } && socket.Settings.Has("connector") && socket.CountOn(Side.Out) > 1);

    private static IEnumerable<Section> StripsOf(PlanBook book, Device device, Socket socket)
    {
        var side = socket.IsInner ? Side.Inner : socket.CountOn(Side.In) > 0 ? Side.In : Side.Out;
        // Acts with the same labels share a strip.
        foreach (var strip in book.EachAct.Select(a => (a.Act, Names: NamesOn(book, device, socket, side, a.Act))).Where(s => s.Names.Exists(n => n.Length > 0)).GroupBy(s => string.Join('\n', s.Names)))
        {
            var names = strip.First().Names;
            var last = names.FindLastIndex(n => n.Length > 0);
            var shorts = ShortNames.Of(names, Math.Max(1, (int)((book.LabelSize.Width - Margins) / Letter)));
            var during = book.During(strip.Aggregate(ActSet.None, (a, s) => a | s.Act));
            var place = book.Plan.PlaceOf(device.Unit);
            yield return new Section($"{PlanBook.TitleOf(device)}: {PlanBook.Written(device, socket)}{(during.Length > 0 ? $", {during}" : "")}", Columns, [.. Enumerable.Range(0, last + 1).Select(i => book.RowOf([i + 1, shorts[i], names[i]], place))])
            {
                Layout = SectionLayout.Strip,
                LabelSize = book.LabelSize,
            };
        }
    }

    private static List<string> NamesOn(PlanBook book, Device device, Socket socket, Side side, ActSet act)
    {
        var names = new List<string>(socket.CountOn(side));
        for (var channel = 0; channel < socket.CountOn(side); channel++)
        {
            var node = device.FirstNode + socket.FirstOn(side) + channel;
            names.Add(First(book.Graph.Into(node), act) ?? First(book.Graph.OutOf(node), act) ?? "");
        }
        return names;

        string? First(ReadOnlySpan<int> edges, ActSet act)
        {
            foreach (var edge in edges)
                if (book.Graph.ActsOf(edge).Meets(act) && !book.Graph.HopOf(edge).IsInsert) return book.TitleAt(edge);
            return null;
        }
    }

    private static IEnumerable<Row> CableLabels(PlanBook book)
    {
        foreach (var loom in book.Plan.Looms)
            for (var end = 0; end < 2; end++) yield return book.RowOf([loom.Label ?? loom.Name, $"{Words.Count(loom.Ways, "way")}", Words.Length(loom.Length)], book.Plan.PlaceOf(loom));
        foreach (var cable in book.Rig.Cables.Where(c => c.Loom is null && c.Acts.Meets(book.Acts)))
            foreach (var (here, there) in ((Connector, Connector)[])[(cable.From, cable.To), (cable.To, cable.From)])
                yield return book.RowOf([PlanBook.Mark(cable), here.ToString(), $"other end: {there}"], book.Plan.PlaceOf(cable));
    }
}
