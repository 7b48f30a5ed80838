using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>The changeover sheets: the steps from one act to the next, in an order that hurts nobody and causes no thumps.</summary>
internal static class ChangeoverSheets
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        foreach (var change in Changeover.Of(book)) yield return SheetOf(book, change);
    }

    private static Sheet SheetOf(PlanBook book, Changeover change)
    {
        var sections = ImmutableArray.CreateBuilder<Section>();
        var step = 1;
        Add("Make safe", [new("Do"), new("Which"), Column.Tick()], MakeSafe(book, change), "In this order, before anything is touched.");
        foreach (var position in change.Lines.GroupBy(l => PlanBook.StandsAt(l.Socket.Device) is { Length: > 0 } place ? place : PlanBook.TitleOf(l.Socket.Device.Outermost)).OrderBy(g => g.Key, NaturalOrder.Instance))
        {
            var rows = position.Where(l => l.IsTouched).OrderBy(l => OrderOf(l.Change)).Concat(position.Where(l => !l.IsTouched)).Select(l => RowOf(book, l)).ToList();
            if (position.Any(l => l.IsTouched))
                Add($"On stage: {position.Key}", [new("Socket"), new("Do"), new("Was"), new("Now"), new("Mic or box"), new("Stand"), new("48 V"), Column.WriteIn("Notes"), Column.Tick()], rows, "What comes off first, then what moves, then what goes on. What stays is listed so that nobody takes it away.");
        }
        Add("Cables", [new("Do"), new("Cable"), new("From"), new("To"), Column.Tick()], Cables(book, change), null);
        foreach (var unit in change.Routes.GroupBy(r => r.Unit).OrderBy(g => g.Key.Name, NaturalOrder.Instance))
            Add($"Routes: {PlanBook.TitleOf(unit.Key)}", [new("To"), new("Was from"), new("Now from"), new("Remarks"), Column.Tick("Set")], unit.Select(r => RowOf(book, r)), "What must be fed from elsewhere than before. What is no longer used may stay as it is, muted.");
        foreach (var unit in change.Mixes.GroupBy(m => m.Unit).OrderBy(g => g.Key.Name, NaturalOrder.Instance))
            Add($"Mixes: {PlanBook.TitleOf(unit.Key)}", [new("Mix"), new("Was"), new("Now"), Column.Tick("Set")], unit.Select(m => book.RowOf([m.Buses, m.Was, m.Now, Cell.Empty], m.Place)), "What each is made of is on the desk's worksheet.");
        Add("Clocks", [new("Clock"), new("Was"), new("Now"), Column.Tick("Locked")], change.Clocks.Select(c => book.RowOf([c.Now.Clock.Name, c.Was.SourceText, c.Now.SourceText, Cell.Empty], book.Plan.PlaceOf(c.Now))), "Everything muted: a clock that changes over clicks loudly.");
        Add("Bring back", [new("Do"), new("Which"), Column.Tick()], BringBack(book, change), "In this order.");
        var (before, after) = (PlanBook.TitleOf(change.Before), PlanBook.TitleOf(change.After));
        return new Sheet(SheetList.FileName("changeover", change.Before.Name, change.After.Name), $"Changeover: {before} to {after}", "For the stage crew, by where things stand: what stays, what moves, what comes off and goes on, in a safe order.", $"{before} to {after}", sections.DrainToImmutable())
        {
            Cautions = [Cautions.Ears, Cautions.Phantom],
        };

        void Add(string title, ImmutableArray<Column> columns, IEnumerable<Row> rows, string? remark)
        {
            var all = rows.ToImmutableArray();
            if (!all.IsEmpty) sections.Add(new Section($"{step++}. {title}", columns, all) { Remark = remark });
        }
    }

    private static IEnumerable<Row> MakeSafe(PlanBook book, Changeover change)
    {
        var ears = book.Units.Where(u => HasListeners(book, u) && !IsPublic(book, u)).Select(PlanBook.TitleOf).ToList();
        yield return Plain("Earphones out; earphones and wedges muted", string.Join("; ", ears)); // labels may contain commas
        foreach (var (desk, strips) in StripsTouched(book, change, l => l.Was ?? l.Now!)) yield return Plain($"Mute on {PlanBook.TitleOf(desk)}", strips);
        var off = change.Lines.Where(l => l.IsTouched && l.Was?.HasPhantom == true).ToList();
        if (off.Count > 0)
        {
            yield return Plain("Phantom power off", string.Join(", ", off.Select(l => $"{l.Socket} {l.Was!.Title}")));
            yield return Plain("Wait half a minute for it to drain", "");
        }
    }

    private static IEnumerable<Row> BringBack(PlanBook book, Changeover change)
    {
        var on = change.Lines.Where(l => l.IsTouched && l.Now?.HasPhantom == true).ToList();
        if (on.Count > 0)
        {
            yield return Plain("Phantom power on, everything still muted", string.Join(", ", on.Select(l => $"{l.Socket} {l.Now!.Title}")));
            yield return Plain("Wait until it has settled", "");
        }
        yield return Plain("Line check, changed lines only", $"sheet \u201CLine check: {PlanBook.TitleOf(change.Before)} to {PlanBook.TitleOf(change.After)}\u201D");
        foreach (var (desk, strips) in StripsTouched(book, change, l => l.Now)) yield return Plain($"Unmute on {PlanBook.TitleOf(desk)}, from the bottom", strips);
        yield return Plain("Earphones in, volume down first; wedges on last", "");
    }

    private static IEnumerable<(Device Desk, string Strips)> StripsTouched(PlanBook book, Changeover change, Func<LineStep, Line?> lineOf)
    {
        var touched = change.Lines.Where(l => l.IsTouched).Select(lineOf).OfType<Line>().SelectMany(l => l.Strips).ToLookup(s => s.Device.Outermost);
        foreach (var desk in book.Desks)
            if (PlanBook.Runs(touched[desk]) is { Length: > 0 } strips) yield return (desk, strips);
    }

    /// <summary>Whether a unit has listeners.</summary>
    private static bool HasListeners(PlanBook book, Device unit) =>
        book.EdgesAt(unit).Any(e => book.Rig.PointOf(book.Graph.ToOf(e)) is var to && to.Device.Outermost == unit && to.Socket.Settings.Has("listener"));

    private static bool IsPublic(PlanBook book, Device unit) =>
        book.EdgesAt(unit).Any(e => book.Plan.WayOf(e).IsPublic);

    private static Row Plain(string what, string which) => new([what, which, Cell.Empty], null, []);

    private static int OrderOf(LineChange change) => change switch
    {
        LineChange.ComesOff => 0,
        LineChange.MovesAway => 1,
        LineChange.Changes => 2,
        LineChange.MovesHere => 3,
        LineChange.GoesOn => 4,
        _ => 5,
    };

    private static Row RowOf(PlanBook book, LineStep line)
    {
        var what = line.Change switch
        {
            LineChange.Stays => "stays",
            LineChange.ComesOff => "comes off",
            LineChange.GoesOn => "goes on",
            LineChange.MovesAway => $"moves to {line.Other}",
            LineChange.MovesHere => $"moves here from {line.Other}",
            _ => line.Was!.Title == line.Now!.Title ? "stays plugged, set anew" : "changes",
        };
        var now = line.Now ?? line.Was!;
        return book.RowOf(
            [line.Socket.ToString(), what, line.Was?.Title, line.Now?.Title, now.Mic, now.Stand, line.Now?.HasPhantom == true ? "48 V" : "", Cell.Empty, Cell.Empty],
            now.Source.Way.Place, line.Was is { } was ? [was.Source.Way.Place] : []);
    }

    private static IEnumerable<Row> Cables(PlanBook book, Changeover change) =>
        change.Unplugged.Select(c => Cable(book, c, "unplug")).Concat(change.Plugged.Select(c => Cable(book, c, "plug in")));

    private static Row Cable(PlanBook book, Cable cable, string what) =>
        book.RowOf([what, PlanBook.Mark(cable), cable.From.ToString(), cable.To.ToString(), Cell.Empty], book.Plan.PlaceOf(cable));

    private static Row RowOf(PlanBook book, RouteStep route)
    {
        return book.RowOf([PlanBook.Runs(route.To), From(route.Was), From(route.Now), route.Network is { } network ? $"network {network.Symbol.Label ?? network.Symbol.Name}" : "", Cell.Empty], route.Places[0], route.Places.Skip(1));

        string From(ImmutableArray<ImmutableArray<GraphPoint>> points)
        {
            var all = points.SelectMany(p => p).GroupBy(p => p.Device.Outermost).OrderBy(g => g.Key.Name, NaturalOrder.Instance).ToList();
            return all.Count == 0 ? "nothing" : string.Join("; ", all.Select(g => g.Key == route.Unit ? PlanBook.Runs(g) : $"{PlanBook.TitleOf(g.Key)}: {PlanBook.Runs(g)}"));
        }
    }
}
