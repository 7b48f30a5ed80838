using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>The festival list: every source of the day, where it is plugged in, where it appears on each desk, and who plays it.</summary>
internal static class FestivalList
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        if (book.DayOrder.Length < 2) yield break; // for a single act, the input list is enough
        var acts = book.EachAct.ToList();
        var strips = book.StripColumns(acts.SelectMany(a => book.SourcesIn(a.Act).Select(s => book.ReachOf(s.Socket.Node, a.Act))));
        var columns = ImmutableArray.Create(new Column("Socket"), new Column("Source"), new Column("Mic or box"), new Column("Stand"), new Column("48 V"))
            .AddRange(strips.Select(s => s.Column))
            .AddRange(acts.Select(a => new Column(a.Title)))
            .AddRange(Column.WriteIn("Notes"), Column.Tick("Checked"));
        var rows = acts.SelectMany(a => book.SourcesIn(a.Act).Select(s => (a.Act, Entry: EntryOf(book, s, [.. strips.Select(c => c.StripsOf(book.ReachOf(s.Socket.Node, a.Act)))], a.Act))))
            .GroupBy(e => (e.Entry.Socket, e.Entry.Cells, e.Entry.Source.Way.Name, e.Entry.Source.Element))
            .OrderBy(g => g.Key.Socket, NaturalOrder.Instance)
            .ThenBy(g => g.Min(e => acts.FindIndex(a => a.Act == e.Act)))
            .Select(g => RowOf(book, g.First().Entry, g.Aggregate(ActSet.None, (all, e) => all | e.Act), acts))
            .ToImmutableArray();
        yield return new Sheet("festival-list", "Festival list", "For the stage manager and the patch crew: every source of the day, its socket, its strip on each desk, and the acts that use it.", book.WholeDay, [new Section("", columns, rows)])
        {
            Cautions = [Cautions.Phantom],
        };
    }

    private sealed record Entry(Source Source, string Socket, string Cells, ImmutableArray<string> Strips, bool HasPhantom, Reached Reached);

    private static Entry EntryOf(PlanBook book, Source source, ImmutableArray<string> strips, ActSet act)
    {
        var reached = book.ReachOf(source.Socket.Node, act);
        var hasPhantom = PlanBook.WantsPhantom(source, reached);
        // Lines of different acts are merged if all columns have the same text.
        var cells = string.Join('\n', [source.Title, source.Way.MicOf(source.Element) ?? "", source.Way.StandOf(source.Element) ?? "", hasPhantom ? "48 V" : "", .. strips]);
        return new Entry(source, source.Socket.ToString(), cells, strips, hasPhantom, reached);
    }

    private static Row RowOf(PlanBook book, Entry entry, ActSet during, List<(ActSet Act, string Name, string Title)> acts)
    {
        var (way, element) = (entry.Source.Way, entry.Source.Element);
        ImmutableArray<Cell> cells =
        [
            entry.Socket, entry.Source.Title, way.MicOf(element), way.StandOf(element), entry.HasPhantom ? "48 V" : "",
            .. entry.Strips.Select(s => (Cell)s),
            .. acts.Select(a => (Cell)(during.Meets(a.Act) ? "\u25CF" : "")),
            Cell.Empty, Cell.Empty,
        ];
        return book.RowOf(cells, way.Place, entry.Reached);
    }
}
