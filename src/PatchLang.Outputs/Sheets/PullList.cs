using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>The pull list: what goes on the truck. Equipment, multicores, cables by length, microphones, stands, and spares.</summary>
internal static class PullList
{
    // The stock lengths of cables, in metres (common practice, no source). Longer ones are rounded up to the next ten.
    private static readonly int[] KeptLengths = [1, 2, 3, 5, 10, 15, 20, 25, 30, 50, 75, 100];

    // One spare per this many of a kind, and at least one (common practice, no source).
    private const int OneSpareFor = 10;

    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var sections = ImmutableArray.CreateBuilder<Section>();
        Add("Equipment", [new("Number", ColumnKind.Number), new("What"), new("Which"), new("Stands at")], Equipment(book));
        Add("Multicores", [new("Number", ColumnKind.Number), new("What"), new("Length"), new("In use")], Multicores(book));
        Add("Cables", [new("Number", ColumnKind.Number), new("Spares", ColumnKind.Number), new("Length"), new("Made of"), new("Connectors"), new("For")], Cables(book));
        Add("Microphones and boxes", [new("Number", ColumnKind.Number), new("Spares", ColumnKind.Number), new("What"), new("For")], Counted(book, s => s.Way.MicOf(s.Element)));
        Add("Stands", [new("Number", ColumnKind.Number), new("Spares", ColumnKind.Number), new("What"), new("For")], Counted(book, s => s.Way.StandOf(s.Element)));
        if (sections.Count == 0) yield break;
        yield return new Sheet("pull-list", "Pull list", "For whoever loads: everything the plan needs, cables by the lengths they are kept in, and spares.", book.WholeDay, sections.DrainToImmutable())
        {
            Cautions = [$"Spares: one for {OneSpareFor} of a kind and one at least, which is common practice. {Cautions.Mains}"],
        };

        void Add(string title, ImmutableArray<Column> columns, ImmutableArray<Row> rows)
        {
            columns = columns.AddRange(Column.WriteIn("Notes"), Column.Tick("Packed"), Column.Tick("Back"));
            if (!rows.IsEmpty) sections.Add(new Section(title, columns, rows));
        }
    }

    private static ImmutableArray<Row> Equipment(PlanBook book) =>
    [
        .. book.Units.GroupBy(u => u.Unit).Select(unit =>
        {
            var first = unit.First();
            var cards = first.Cards.OfType<Device>().Select(c => $"{c.Slot!.Name}: {c.Model.Gear.Title ?? c.Model.Gear.Name}").ToList();
            return book.RowOf(
                [unit.Count(), (first.Model.Gear.Title ?? first.Model.Gear.Name) + (cards.Count > 0 ? $", with {string.Join(", ", cards)}" : ""), string.Join("; ", unit.Select(PlanBook.TitleOf)), PlanBook.StandsAt(first), Cell.Empty, Cell.Empty, Cell.Empty],
                book.Plan.PlaceOf(unit.Key));
        }),
    ];

    private static ImmutableArray<Row> Multicores(PlanBook book)
    {
        var used = book.Rig.Cables.Where(c => c.Loom is not null && c.Acts.Meets(book.Acts)).ToLookup(c => c.Loom!, c => c.Way);
        return
        [
            .. book.Plan.Looms.Select(loom => book.RowOf(
                [1, loom.Label ?? loom.Name, Words.Length(loom.Length), $"{used[loom].Distinct().Count()} of {Words.Count(loom.Ways, "way")}", Cell.Empty, Cell.Empty, Cell.Empty], book.Plan.PlaceOf(loom))),
        ];
    }

    private static ImmutableArray<Row> Cables(PlanBook book) =>
    [
        .. Plugs.Of(book).Where(p => p.Cable?.Loom is null)
            .GroupBy(p => (Made: p.Cable?.Medium is { } medium ? Media.Words(medium) : "not said", Ends: EndsOf(p), Length: p.Cable?.Length is { } metres ? Kept(metres) : (int?)null, Format: p.From.Socket.Format?.Title ?? ""))
            .OrderBy(g => g.Key.Made, NaturalOrder.Instance).ThenBy(g => g.Key.Ends, NaturalOrder.Instance).ThenBy(g => g.Key.Length ?? int.MaxValue).ThenBy(g => g.Key.Format, NaturalOrder.Instance)
            .Select(g => book.RowOf(
                [g.Count(), Spares(g.Count()), g.Key.Length is { } length ? $"{length} m" : "not known", g.Key.Made, g.Key.Ends, For(g.Key.Format, [.. g.Select(p => p.Mark)]), Cell.Empty, Cell.Empty, Cell.Empty],
                g.First().Place, g.Skip(1).Select(p => p.Place))),
        .. book.Rig.Networks.Where(n => n.Symbol.Acts.Meets(book.Acts) && n.Ports.Any()).Select(n => book.RowOf(
            [n.Ports.Count(), Spares(n.Ports.Count()), "not known", "network lead", "", $"network {n.Symbol.Label ?? n.Symbol.Name}", Cell.Empty, Cell.Empty, Cell.Empty], book.Plan.PlaceOf(n.Symbol))),
    ];

    private static string For(string format, ImmutableArray<string> marks)
    {
        var labels = marks.Where(m => m.Length > 0).Distinct().ToList();
        return labels.Count == 0 ? format : $"{format}: {string.Join(", ", labels.Take(6))}{(labels.Count > 6 ? " …" : "")}";
    }

    /// <summary>The connectors at a cable's ends: <c>XLR to jack</c>; empty if the gear does not state them.</summary>
    private static string EndsOf(Plug plug)
    {
        var (from, to) = (plug.From.Socket.Settings["connector"]?.Text, plug.To.Socket.Settings["connector"]?.Text);
        return from is null && to is null ? "" : from == to ? from! : $"{from ?? "?"} to {to ?? "?"}";
    }

    /// <summary>The shortest stock length that is long enough.</summary>
    public static int Kept(double metres)
    {
        foreach (var kept in KeptLengths)
            if (kept >= metres) return kept;
        return (int)Math.Ceiling(metres / 10) * 10;
    }

    private static int Spares(int count) => Math.Max(1, (count + OneSpareFor - 1) / OneSpareFor);

    /// <summary>How many of each are needed at once: the maximum over the acts.</summary>
    private static ImmutableArray<Row> Counted(PlanBook book, Func<Source, string?> whatOf)
    {
        // What each act needs: the sources by kind of microphone or stand.
        var acts = book.EachAct.Select(a => book.SourcesIn(a.Act).Where(s => whatOf(s) is { Length: > 0 }).ToLookup(s => whatOf(s)!)).ToList();
        return
        [
            .. acts.SelectMany(a => a).GroupBy(a => a.Key, a => a.AsEnumerable()).OrderBy(g => g.Key, NaturalOrder.Instance).Select(g =>
            {
                var most = g.Max(a => a.Count());
                var all = g.SelectMany(a => a).ToList();
                return book.RowOf(
                    [most, Spares(most), g.Key, string.Join(", ", all.Select(s => s.Title).Distinct()), Cell.Empty, Cell.Empty, Cell.Empty], all[0].Way.Place, all.Skip(1).Select(s => s.Way.Place));
            }),
        ];
    }
}
