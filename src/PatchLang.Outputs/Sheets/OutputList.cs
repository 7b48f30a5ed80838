using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>The output list: one row per mix or direct output, with the socket it leaves by and who hears it. One list per act.</summary>
internal static class OutputList
{
    private static readonly ImmutableArray<Column> Columns =
    [
        new("Signal"), new("From"), new("Leaves by"), new("Cable"), new("Arrives at"), new("Heard or kept at"), new("Where"), new("Remarks"),
        Column.WriteIn("Level"), Column.WriteIn("Notes"), Column.Tick("Patched"), Column.Tick("Checked"),
    ];

    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        foreach (var (act, name, title) in book.EachAct)
        {
            var outputs = OutputsIn(book, act);
            var sections = outputs.Where(o => o.IsMix).GroupBy(o => o.Start.Device.Outermost)
                .OrderBy(g => g.Key.Name, NaturalOrder.Instance)
                .Select(g => SectionOf(book, $"{PlanBook.TitleOf(g.Key)}: mixes", g, act))
                .Concat(outputs.Where(o => !o.IsMix).GroupBy(o => o.Start.Device.Outermost)
                    .OrderBy(g => g.Key.Name, NaturalOrder.Instance)
                    .Select(g => SectionOf(book, $"{PlanBook.TitleOf(g.Key)}: direct outputs", g, act)))
                .ToImmutableArray();
            if (sections.IsEmpty) continue;
            yield return new Sheet(SheetList.FileName("output-list", name), "Output list", "For whoever patches outputs and sets the mixes: what leaves each desk, by which socket, and who hears it.", title, sections)
            {
                Cautions = [Cautions.Ears],
            };
        }
    }

    /// <summary>An element of a way that leaves a desk.</summary>
    public sealed record Output(FeedWay Way, int Element, ImmutableArray<WayStop> Stops, GraphPoint Start, bool IsMix);

    /// <summary>All outputs of desks in some acts: mixes, then strips and mixes that are passed on unmixed.</summary>
    public static List<Output> OutputsIn(PlanBook book, ActSet act)
    {
        var found = new List<Output>();
        foreach (var way in book.Plan.Ways)
        {
            if (!way.Acts.Meets(act) || way.Origin is not (WayOrigin.Sum or WayOrigin.Feed or WayOrigin.Socket or WayOrigin.Either)) continue;
            for (var element = 0; element < way.Count; element++)
            {
                var stops = way.StopsOf(element);
                if (stops.Length == 0) continue;
                var start = way.Origin == WayOrigin.Sum ? stops[0].Point : StartOf(way, element, stops);
                // A feed that continues from an output (`at desk.line`) is already listed where it left.
                if (start.Side == Side.Inner && (stops.Length > 1 || way.Origin == WayOrigin.Sum)) found.Add(new Output(way, element, stops, start, way.Origin == WayOrigin.Sum));
            }
        }
        return [.. found.OrderBy(o => o.Start.ToString(), NaturalOrder.Instance).ThenBy(o => o.Way.Number)];
    }

    private static GraphPoint StartOf(FeedWay way, int element, ImmutableArray<WayStop> stops) =>
        way.Origin == WayOrigin.Feed && way.Members.FirstOrDefault(m => m.Places.Contains(element)) is { Point.IsUnknown: false } member ? member.Point : stops[0].Point;

    private static Section SectionOf(PlanBook book, string title, IEnumerable<Output> outputs, ActSet act) =>
        new(title, Columns, [.. outputs.Select(o => RowOf(book, o, act))]);

    private static Row RowOf(PlanBook book, Output output, ActSet act)
    {
        var (way, stops) = (output.Way, output.Stops);
        var leaves = stops.FirstOrDefault(s => s.Point.Side == Side.Out && s.Point.Device.Outermost == output.Start.Device.Outermost).Point;
        var end = stops[^1].Point;
        var cables = new List<string>();
        GraphPoint arrives = default;
        for (var i = 1; i < stops.Length; i++)
        {
            if (stops[i].By is not { IsLink: true } hop) continue;
            if (arrives.IsUnknown) arrives = stops[i].Point;
            cables.Add(hop.Kind switch
            {
                HopKind.Network => $"network {hop.Network!.Symbol.Name}",
                HopKind.Cable when book.CableBetween(stops[i - 1].Point, stops[i].Point, act) is { } cable => PlanBook.Mark(cable),
                _ => "",
            });
        }
        var remarks = new List<string>();
        if (way.IsPublic) remarks.Add("the audience hears it");
        if (way.IsPrivate(output.Element)) remarks.Add("not for the audience");
        if (way.Delay is { } delay) remarks.Add($"delay {Text.Quantity.Number(delay * 1000)} ms");
        if (way.Note is { } note) remarks.Add(note);
        var tap = stops.Length > 1 ? Words.TapOf(stops[1].By?.Tap ?? Tap.Unstated) : "";
        ImmutableArray<Cell> cells =
        [
            way.TitleOf(output.Element), PlanBook.Local(output.Start) + (tap.Length > 0 ? $", {tap}" : ""), leaves.IsUnknown ? "" : PlanBook.Local(leaves),
            string.Join(", ", cables.Where(c => c.Length > 0).Distinct()), arrives.IsUnknown ? "" : arrives.ToString(),
            end == output.Start || end.Side == Side.Inner && end.Socket.Sort != SocketSort.Strip ? "" : $"{PlanBook.TitleOf(end.Device.Outermost)}, {PlanBook.Local(end)}", PlanBook.StandsAt(end.Device),
            string.Join("; ", remarks), Cell.Empty, Cell.Empty, Cell.Empty, Cell.Empty,
        ];
        return book.RowOf(cells, way.Place);
    }
}
