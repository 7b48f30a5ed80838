using System.Collections.Immutable;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>The cable schedule: every cable with its two ends, its medium, its length, and what it carries.</summary>
internal static class CableSchedule
{
    private static readonly ImmutableArray<Column> Columns =
    [
        new("Label"), new("From"), new("Stands at"), new("To"), new("Stands there"), new("Format"), new("Made of"), new("Length"), new("Carries"), new("Acts"),
        Column.WriteIn("Notes"), Column.Tick("Laid"), Column.Tick("Tested"),
    ];

    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var plugs = Plugs.Of(book);
        var sections = ImmutableArray.CreateBuilder<Section>();
        var plugsIn = plugs.Where(p => p.Cable?.Loom is not null).ToLookup(p => p.Cable!.Loom!);
        foreach (var loom in book.Plan.Looms)
        {
            var ways = plugsIn[loom].OrderBy(p => p.Cable!.Way).ToList();
            if (ways.Count == 0) continue;
            sections.Add(new Section($"Multicore: {loom.Label ?? loom.Name}", Columns, [.. ways.Select(p => RowOf(book, p, $"way {p.Cable!.Way}"))])
            {
                Remark = $"{Words.Count(ways.Select(w => w.Cable!.Way).Distinct().Count(), "way")} of {loom.Ways} in use{(loom.Length is { } length ? $", {Words.Length(length)} long" : "")}.",
            });
        }
        Add("Cables", p => p.Cable is { Loom: null }, null);
        Add("Cables that no statement declares", p => p.Cable is null, "Feeds need them; nobody has said yet of what they are and how long.");
        var leads = NetworkLeads(book).ToImmutableArray();
        if (!leads.IsEmpty) sections.Add(new Section("Network leads", [new("Network"), new("Port"), new("Stands at"), Column.WriteIn("Switch, port"), Column.WriteIn("Length"), Column.Tick("Laid"), Column.Tick("Tested")], leads) { Remark = "One from each port to its network's switch." });
        if (sections.Count == 0) yield break;
        yield return new Sheet("cable-schedule", "Cable schedule", "For whoever lays the cables: both ends, what it is made of, how long, and what is on it.", book.WholeDay, sections.DrainToImmutable())
        {
            Cautions = [Cautions.Phantom, Cautions.Mains],
        };

        void Add(string title, Func<Plug, bool> belongs, string? remark)
        {
            var rows = plugs.Where(belongs).OrderBy(p => p.From.ToString(), NaturalOrder.Instance).ThenBy(p => p.To.ToString(), NaturalOrder.Instance).Select(p => RowOf(book, p, p.Mark)).ToImmutableArray();
            if (!rows.IsEmpty) sections.Add(new Section(title, Columns, rows) { Remark = remark });
        }
    }

    private static Row RowOf(PlanBook book, Plug plug, string label)
    {
        var format = plug.From.Socket.Format;
        ImmutableArray<Cell> cells =
        [
            label, plug.From.ToString(), PlanBook.StandsAt(plug.From.Device), plug.To.ToString(), PlanBook.StandsAt(plug.To.Device), format?.Title ?? format?.Name,
            plug.Cable?.Medium is { } medium ? Media.Words(medium) : plug.Cable?.Loom is not null ? "multicore" : "", plug.Cable is { Length: { } length } ? Words.Length(length) : "not known",
            Plugs.CarriedBy(book, plug), book.During(plug.Acts), Cell.Empty, Cell.Empty, Cell.Empty,
        ];
        return book.RowOf(cells, plug.Place);
    }

    private static IEnumerable<Row> NetworkLeads(PlanBook book) =>
        from network in book.Rig.Networks
        where network.Symbol.Acts.Meets(book.Acts)
        from port in network.Ports.OrderBy(p => p.Device.Name, NaturalOrder.Instance)
        select book.RowOf(
            [network.Symbol.Label ?? network.Symbol.Name, PlanBook.Written(port.Device, port.Socket), PlanBook.StandsAt(port.Device), Cell.Empty, Cell.Empty, Cell.Empty, Cell.Empty],
            book.Plan.PlaceOf(network.Symbol));
}
