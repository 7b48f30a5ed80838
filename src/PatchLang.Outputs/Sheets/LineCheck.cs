using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>
/// The line check: in order from the first switch to the last listener, with what must show at each point and where to look if it does
/// not. Complete for the first act; for each changeover, only the lines that change.
/// </summary>
internal static class LineCheck
{
    private const string Ok = "OK";

    private static readonly ImmutableArray<Column> Steps = [new("Step", ColumnKind.Number), new("Do"), new("Must show"), new("If it does not"), Column.Tick(Ok), Column.WriteIn("Initials")];

    private static readonly ImmutableArray<Column> Signals =
        [new("Step", ColumnKind.Number), new("Signal"), new("At"), new("Must show on"), new("If it does not"), Column.Tick(Ok), Column.WriteIn("Initials")];

    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        if (book.EachAct.FirstOrDefault() is not { Title: not null } first || book.Units.IsEmpty) yield break;
        yield return Whole(book, first.Act, first.Name, first.Title);
        foreach (var change in Changeover.Of(book)) yield return Short(book, change);
    }

    private static Sheet Whole(PlanBook book, ActSet act, string name, string title)
    {
        var list = new Numbered(book);
        list.Add("Before anything is switched on", Steps, Before(book));
        list.Add("Power up", Steps, PowerUp(book));
        var sources = book.SourcesIn(act);
        var talk = sources.Where(s => s.Way.Feed!.IsPrivate).ToList();
        list.AddSignals("Talk lines and cues", talk, act, "First, so that the crew can speak for the rest of the check. None of these may ever be heard by the audience: listen in the house while each is spoken into.");
        list.Add("Clocks", Steps, Clocks(book, act));
        list.Add("Network routes", Steps, Routes(book, act));
        list.Add("Line-up tone", Steps, Tone(book, act), "1 kHz at the level the desks have agreed on. The left side is broken up, the right is steady, so that nobody has to guess which is which (common practice).");
        list.AddSignals("Each signal", [.. sources.Where(s => !s.Way.Feed!.IsPrivate)], act, "In the order of the boxes. One person at the source; every desk confirms before the next.");
        list.Add("From mix to ear", Steps, Outputs(book, act, _ => true));
        list.Add("Record and play back", Steps, Recorders(book, act));
        list.Add("Switch to the backup (rehearsal only)", Steps, Backups(book, act), "Never with an audience in the house, nor with earphones in.");
        return new Sheet(SheetList.FileName("line-check", name), "Line check", "For the system technician and one person on stage: from the first switch to the last listener. Initial each line.", title, list.Sections)
        {
            Cautions = [Cautions.Ears, Cautions.Phantom, Cautions.Amplifiers, Cautions.Mains],
        };
    }

    private static Sheet Short(PlanBook book, Changeover change)
    {
        var list = new Numbered(book);
        list.Add("First", Steps, [Numbered.Plain("Earphones out, changed strips muted, faders down", "", "")]);
        list.Add("Clocks", Steps, change.Clocks.Select(c => Numbered.Plain($"{c.Now.Clock.Name}: {c.Now.SourceText}", ClockSheet.Reads(book, c.Now), "", book.Plan.PlaceOf(c.Now))));
        list.AddSignals("Changed lines", [.. change.Lines.Where(l => l.IsTouched && l.Now is not null).Select(l => l.Now!.Source)], change.B, null);
        var changed = change.Mixes.Select(m => m.Place).ToHashSet();
        list.Add("Changed mixes", Steps, Outputs(book, change.B, o => changed.Contains(o.Way.Place)));
        var (before, after) = (PlanBook.TitleOf(change.Before), PlanBook.TitleOf(change.After));
        return new Sheet(SheetList.FileName("line-check", change.Before.Name, change.After.Name), $"Line check: {before} to {after}", "For the changeover: changed lines and mixes only. Initial each line.", $"{before} to {after}", list.Sections)
        {
            Cautions = [Cautions.Ears, Cautions.Phantom],
        };
    }

    /// <summary>The sections of a check, with steps numbered across all of them.</summary>
    private sealed class Numbered(PlanBook book)
    {
        private readonly ImmutableArray<Section>.Builder sections = ImmutableArray.CreateBuilder<Section>();
        private int step;

        public ImmutableArray<Section> Sections => sections.ToImmutable();

        public static (string Do, string Shows, string IfNot, Place? Place) Plain(string what, string shows, string ifNot, Place? place = null) => (what, shows, ifNot, place);

        public void Add(string title, ImmutableArray<Column> columns, IEnumerable<(string Do, string Shows, string IfNot, Place? Place)> steps, string? remark = null)
        {
            var rows = steps.Select(s => book.RowOf([++step, s.Do, s.Shows, s.IfNot, Cell.Empty, Cell.Empty], s.Place)).ToImmutableArray();
            if (!rows.IsEmpty) sections.Add(new Section(title, columns, rows) { Remark = remark });
        }

        public void AddSignals(string title, List<Source> sources, ActSet act, string? remark)
        {
            var rows = ImmutableArray.CreateBuilder<Row>();
            foreach (var source in sources)
            {
                var trail = Trail.Of(book, source, act);
                step++;
                if (trail.Count == 0) rows.Add(Row(source, true, "", ""));
                for (var i = 0; i < trail.Count; i++)
                    rows.Add(Row(source, i == 0, $"{PlanBook.TitleOf(trail[i].Point.Device.Outermost)}, {PlanBook.Local(trail[i].Point)}", trail[i].IfNot));
            }
            if (rows.Count > 0) sections.Add(new Section(title, Signals, rows.DrainToImmutable()) { Remark = remark });
        }

        private Row Row(Source source, bool isFirst, string shows, string ifNot) =>
            book.RowOf([isFirst ? step : Cell.Empty, isFirst ? source.Title : "", isFirst ? source.Socket.ToString() : "", shows, ifNot, Cell.Empty, Cell.Empty], source.Way.Place);
    }

    private static IEnumerable<(string, string, string, Place?)> Before(PlanBook book)
    {
        yield return Numbered.Plain("Cables laid and labelled as in the cable schedule", "", "");
        yield return Numbered.Plain("Earphones out, everybody told", "", "");
        yield return Numbered.Plain("Every strip, mix and main muted, faders down, gains at the lowest", "", "");
        yield return Numbered.Plain("Phantom power off everywhere", "", "");
        foreach (var unit in book.Units.Where(IsLoud)) yield return Numbered.Plain($"{PlanBook.TitleOf(unit)} off, level down", "", "", book.Plan.PlaceOf(unit.Unit));
    }

    private static IEnumerable<(string, string, string, Place?)> PowerUp(PlanBook book)
    {
        // Clock leaders first, so that the others find a clock; loudspeakers last.
        foreach (var unit in book.Units.Where(u => !IsLoud(u) && HasPower(u)).OrderBy(u => book.LeadsTime(u) ? 0 : 1).ThenBy(u => u.Name, NaturalOrder.Instance))
            yield return Numbered.Plain($"{PlanBook.TitleOf(unit)} on{(book.LeadsTime(unit) ? " (clock leader)" : "")}", "starts, without errors", PlanBook.StandsAt(unit) is { Length: > 0 } place ? $"its supply, {place}" : "its supply", book.Plan.PlaceOf(unit.Unit));
        foreach (var unit in book.Units.Where(IsLoud))
            yield return Numbered.Plain($"{PlanBook.TitleOf(unit)} on, last", "quiet: no hum, no hiss", "pin 1 and supply of what feeds it; mutes", book.Plan.PlaceOf(unit.Unit));
    }

    private static bool HasPower(Device unit) => !unit.Model.Clocks.IsEmpty || unit.Model.Sockets.Any(s => s.IsInner);

    /// <summary>Whether a unit is loud in the room: it has listeners, and no clock or strips of its own.</summary>
    private static bool IsLoud(Device unit) => unit.Model.Sockets.Any(s => s.Settings.Has("listener")) && !unit.Model.Sockets.Any(s => s.Settings.Has("recorder")) && !HasPower(unit);

    private static IEnumerable<(string, string, string, Place?)> Clocks(PlanBook book, ActSet act)
    {
        var view = book.Plan.Clocks.In(act);
        foreach (var (state, _) in ClockSheet.InTreeOrder(view))
            yield return Numbered.Plain(
                $"Clock of {state.Clock.Name}", ClockSheet.Reads(book, state),
                state.IsFree ? "its clock setting" : $"its clock setting ({state.SourceText}){(state.Upstream is { } from ? $"; the way from {from.Name}" : "")}", book.Plan.PlaceOf(state));
        if (view.States.Length > 0) yield return Numbered.Plain("Watch error counters and clock displays for a whole minute", "no count moves, no lock light blinks", "the unit whose counter moves: what it follows, and its cable");
    }

    private static IEnumerable<(string, string, string, Place?)> Routes(PlanBook book, ActSet act)
    {
        foreach (var network in book.Rig.Networks.Where(n => n.Symbol.Acts.Meets(act)))
        {
            var routes = book.RoutesOn(network).Where(r => r.Acts.Meets(act)).ToList();
            if (routes.Count == 0) continue;
            yield return Numbered.Plain($"Network {network.Symbol.Label ?? network.Symbol.Name}: all {network.Ports.Count()} members there", string.Join(", ", network.Ports.Select(p => PlanBook.Written(p.Device, p.Socket))), "its lead, its switch, its address", book.Plan.PlaceOf(network.Symbol));
            foreach (var receiver in routes.GroupBy(r => (r.To.Device, r.To.Socket)).OrderBy(g => g.Key.Device.Name, NaturalOrder.Instance))
                yield return Numbered.Plain(
                    $"Routes to {PlanBook.Written(receiver.Key.Device, receiver.Key.Socket)}; allow a few seconds for a new one to settle",
                    $"{Words.Count(receiver.Select(r => r.To.Channel).Distinct().Count(), "channel")} received: {Words.Runs(receiver.Select(r => r.To.Channel + 1).Distinct().Order())}", "the route on the receiver; rate, packet time and clock of both ends; see the network sheet", book.Plan.PlaceOf(network.Symbol));
        }
    }

    private static IEnumerable<(string, string, string, Place?)> Tone(PlanBook book, ActSet act)
    {
        foreach (var mix in OutputList.OutputsIn(book, act).Where(o => o.IsMix).GroupBy(o => o.Way))
        {
            var way = mix.Key;
            var ends = mix.Select(o => o.Stops[^1].Point).Where(p => p.Side != Side.Inner).ToList();
            // Never send test tone to earphones: only to the audience, on air or to a recorder.
            if (ends.Count == 0 || !(way.IsPublic || ends.Exists(p => p.Socket.Settings.Has("recorder")))) continue;
            var leaves = mix.SelectMany(o => o.Stops).Select(s => s.Point).FirstOrDefault(p => p.Side == Side.Out && p.Socket.Settings["full_scale"] is not null);
            var aligned = leaves.IsUnknown ? "" : $"; full scale is {Level(leaves.Socket.Settings["full_scale"]!.Value)} at {PlanBook.Written(leaves.Device, leaves.Socket)}";
            var sides = way.Elements.AreSides && way.Count > 1 ? "left broken up, right steady" : "steady";
            yield return Numbered.Plain(
                $"Tone into {Words.And([.. mix.Select(o => PlanBook.Local(o.Start))])} of {PlanBook.TitleOf(mix.First().Start.Device.Outermost)}", $"{sides}, at {Words.And([.. ends.Select(p => p.ToString())])}{aligned}", "sides crossed; alignment of the output; a pad", way.Place);
        }

        static string Level(Quantity? level) => level is { } known ? $"{Words.Signed(known.Value)} {(known.Measure == Measure.LevelDbv ? "dBV" : "dBu")}" : "not known";
    }

    private static IEnumerable<(string, string, string, Place?)> Outputs(PlanBook book, ActSet act, Func<OutputList.Output, bool> isWanted)
    {
        foreach (var output in OutputList.OutputsIn(book, act).Where(o => o.IsMix && isWanted(o)))
        {
            var (way, element) = (output.Way, output.Element);
            var end = output.Stops[^1].Point;
            if (end.Side == Side.Inner) continue;
            var look = new List<string>();
            for (var i = 1; i < output.Stops.Length; i++)
                if (output.Stops[i].Edge >= 0 && Trail.HopIn(book, output.Stops[i].Edge, act) is { Length: > 0 } hop) look.Add(hop);
            var members = way.Members.Where(m => m.Places.Contains(element)).Select(m => m.Way?.TitleOf(m.Element) ?? m.Point.ToString()).Distinct().ToList();
            yield return Numbered.Plain(
                $"{way.TitleOf(element)}: up from the bottom, somebody listening", $"{PlanBook.TitleOf(end.Device.Outermost)}, {PlanBook.Local(end)} hears {Heard(members)}", string.Join("; ", look), way.Place);
        }

        static string Heard(List<string> members) => members.Count > 8 ? $"{string.Join(", ", members.Take(6))} and {members.Count - 6} more (see the worksheet)" : Words.And(members);
    }

    private static IEnumerable<(string, string, string, Place?)> Recorders(PlanBook book, ActSet act)
    {
        foreach (var unit in book.Units)
        {
            var tracks = book.EdgesAt(unit).Where(e => book.Graph.ActsOf(e).Meets(act)).Select(e => book.Rig.PointOf(book.Graph.ToOf(e)))
                .Where(p => p.Side == Side.Out && p.Socket.Settings.Has("recorder")).Select(p => p.Channel + 1).Distinct().Order().ToList();
            if (tracks.Count == 0) continue;
            yield return Numbered.Plain($"{PlanBook.TitleOf(unit)}: record a minute", $"level on {Words.Runs(tracks)}", "record enable; the routes of the output list", book.Plan.PlaceOf(unit.Unit));
            yield return Numbered.Plain($"{PlanBook.TitleOf(unit)}: play it back, house muted", "the same, without clicks", "the recorder's clock", book.Plan.PlaceOf(unit.Unit));
        }
    }

    private static IEnumerable<(string, string, string, Place?)> Backups(PlanBook book, ActSet act)
    {
        foreach (var way in book.Plan.Ways.Where(w => w.Origin == WayOrigin.Either && w.Acts.Meets(act)))
        {
            var choices = way.Members.Select(m => m.Way?.Name ?? m.Point.ToString()).Distinct().ToList();
            if (choices.Count > 1)
                yield return Numbered.Plain(
                    $"{way.Name}: pull {choices[0]}, switch to {Words.And([.. choices.Skip(1)])}; then back", $"{Words.And([.. Enumerable.Range(0, way.Count).Select(way.TitleOf)])} goes on", "the switch; the backup's clock and its own cable", way.Place);
        }
        foreach (var clock in book.Rig.Clocks.Where(c => book.Rig.RoleOf(c, act) == ClockRole.Standby))
            yield return Numbered.Plain($"Clock leader off: {clock.Name} takes over; then back", "the followers lock again, and nothing clicks once they have", "the standby's priority; who follows what on the clock sheet", book.Plan.PlaceOf(clock.Device.Unit));
        foreach (var network in book.Rig.Networks.Where(n => n.Group != n && n.Symbol.Acts.Meets(act)))
            yield return Numbered.Plain($"Pull one leg of {network.Group.Symbol.Name}, then the other", "sound goes on over the leg that is left", $"the leads of {network.Symbol.Name}", book.Plan.PlaceOf(network.Symbol));
    }
}
