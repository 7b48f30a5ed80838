using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>
/// The input list: one row per line of each stage box, with the source plugged in and where it appears on the desks. One list per act.
/// </summary>
internal static class InputList
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        foreach (var (act, name, title) in book.EachAct)
        {
            var sections = book.SourcesIn(act)
                .GroupBy(s => (s.Socket.Device, s.Socket.Socket))
                .Select(box => SectionOf(book, box.Key.Device, box.Key.Socket, [.. box], act))
                .ToImmutableArray();
            if (sections.IsEmpty) continue;
            yield return new Sheet(SheetList.FileName("input-list", name), "Input list", "For whoever patches the stage and sets the desks: what is plugged in where, and on which strip it comes up.", title, sections)
            {
                Cautions = [Cautions.Phantom],
            };
        }
    }

    private static Section SectionOf(PlanBook book, Device device, Socket socket, ImmutableArray<Source> sources, ActSet act)
    {
        var strips = book.StripColumns(sources.Select(s => book.ReachOf(s.Socket.Node, act)));
        var columns = ImmutableArray.Create(new Column("Line", ColumnKind.Number), new Column("Source"), new Column("Mic or box"), new Column("Stand"), new Column("48 V"), new Column("Multicore"))
            .AddRange(strips.Select(s => s.Column))
            .AddRange(new Column("Track"), new Column("Remarks"), Column.WriteIn("Gain"), Column.WriteIn("Notes"), Column.Tick("Patched"), Column.Tick("Checked"));
        var rows = ImmutableArray.CreateBuilder<Row>();
        var byChannel = sources.ToLookup(s => s.Socket.Channel);
        var side = sources[0].Socket.Side;
        foreach (var channel in Lines(socket.CountOn(side), byChannel))
        {
            foreach (var source in byChannel[channel]) rows.Add(RowOf(book, source, strips, act));
            if (!byChannel.Contains(channel)) rows.Add(new Row([channel + 1, .. Enumerable.Repeat(Cell.Empty, columns.Length - 1)], null, []));
        }
        var place = PlanBook.StandsAt(device);
        return new Section($"{PlanBook.TitleOf(device)}: {PlanBook.Written(device, socket)}{(place.Length > 0 ? $" ({place})" : "")}", columns, rows.DrainToImmutable());
    }

    /// <summary>
    /// The lines that get a row: all lines of a box that is at least half full, so that late additions have a row; otherwise those in use.
    /// </summary>
    private static IEnumerable<int> Lines(int count, ILookup<int, Source> used) =>
        used.Count * 2 >= count && count > 1 ? Enumerable.Range(0, count) : used.Select(u => u.Key).Order();

    private static Row RowOf(PlanBook book, Source source, ImmutableArray<(Column Column, Func<Reached, string> StripsOf)> strips, ActSet act)
    {
        var (way, element) = (source.Way, source.Element);
        var reached = book.ReachOf(source.Socket.Node, act);
        var cells = ImmutableArray.CreateBuilder<Cell>();
        cells.Add(source.Socket.Channel + 1);
        cells.Add(source.Title);
        cells.Add(way.MicOf(element));
        cells.Add(way.StandOf(element));
        cells.Add(PlanBook.WantsPhantom(source, reached) ? "48 V" : "");
        cells.Add(string.Join(", ", reached.Cables.Where(c => c.Loom is not null).Select(PlanBook.Mark).Distinct()));
        foreach (var (_, stripsOf) in strips) cells.Add(stripsOf(reached));
        cells.Add(book.TracksOf(reached));
        cells.Add(string.Join("; ", Remarks(way)));
        cells.AddRange(Cell.Empty, Cell.Empty, Cell.Empty, Cell.Empty);
        return book.RowOf(cells.DrainToImmutable(), way.Place, reached);
    }

    private static IEnumerable<string> Remarks(FeedWay way)
    {
        if (way.Feed!.IsPrivate) yield return "not for the audience";
        if (way.GainBy is { } owner) yield return $"gain and phantom by {owner}";
        if (way.Note is { } note) yield return note;
    }
}
