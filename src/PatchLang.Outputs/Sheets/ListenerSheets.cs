using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>
/// One sheet per place where someone listens: what is on which channel or knob, what is in the mix and how late it arrives, in words for performers.
/// </summary>
internal static class ListenerSheets
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var heard = book.Plan.Ways.Where(w => w.Acts.Meets(book.Acts) && w.Origin is not (WayOrigin.Bundle or WayOrigin.Insert))
            .SelectMany(w => Enumerable.Range(0, w.Count).SelectMany(e => w.EndsOf(e).Where(p => p.Socket.Settings.Has("listener")).Select(p => (Way: w, Element: e, At: p))))
            .ToLookup(h => h.At.Device.Outermost);
        foreach (var unit in book.Units)
        {
            if (!heard[unit].Any()) continue;
            var sections = ImmutableArray.CreateBuilder<Section>();
            var direct = heard[unit].Where(h => MixOf(h.Way, h.Element) is null).ToList();
            if (direct.Count > 0)
                sections.Add(new Section("What is on which channel", [new("Channel"), new("You hear"), new("After it is played"), new("Acts"), Column.WriteIn("Notes")],
                    [.. direct.GroupBy(h => (h.At, Title: h.Way.TitleOf(h.Element))).OrderBy(g => g.Key.At.ToString(), NaturalOrder.Instance).ThenBy(g => g.Min(h => h.Way.Acts.First)).Select(g => (g.Key.At, g.Key.Title, Acts: g.Aggregate(ActSet.None, (a, h) => a | h.Way.Acts), g.First().Way.Place))
                        .Select(r => book.RowOf([PlanBook.Local(r.At), r.Title, Lateness.Words(book, [r.At], r.Acts), book.During(r.Acts), Cell.Empty], r.Place))]));
            foreach (var mix in heard[unit].Where(h => MixOf(h.Way, h.Element) is not null).GroupBy(h => (h.Way.Symbol, Mix: MixOf(h.Way, h.Element)!.Symbol)).OrderBy(g => g.First().At.ToString(), NaturalOrder.Instance).ThenBy(g => g.First().Way.Number))
                sections.Add(MixSection(book, [.. mix]));
            yield return new Sheet(
                SheetList.FileName("listener", unit.Name), $"What you hear: {PlanBook.TitleOf(unit)}",
                "For whoever listens here: what is on each channel and in each mix. Ask the desk for anything else.", book.WholeDay, sections.DrainToImmutable())
            {
                Family = "What you hear",
                Cautions = ["Start with the volume right down and bring it up slowly. Take earphones out while the stage is being changed over. Loud sound over time harms hearing: local limits apply."],
            };
        }
    }

    private static Section MixSection(PlanBook book, List<(FeedWay Way, int Element, GraphPoint At)> heard)
    {
        var acts = heard.Aggregate(ActSet.None, (a, h) => a | h.Way.Acts) & book.Acts;
        var first = heard[0].Way;
        var title = first.Feed!.Labels is [var label] ? label : string.Join(", ", heard.Select(h => h.Way.TitleOf(h.Element)).Distinct());
        var rows = heard.SelectMany(h => { var mix = MixOf(h.Way, h.Element)!; return mix.Members.Where(m => m.Places.Contains(ElementIn(h.Way, h.Element, mix))).Select(m => (Heard: h, Mix: mix, Member: m)); })
            .GroupBy(m => (Signal: m.Member.Way?.TitleOf(m.Member.Element) ?? m.Member.Point.ToString(), m.Member.Gain))
            .Select(g => (g.Key.Signal, g.Key.Gain, Side: SideOf(heard, g.Select(m => m.Heard.Element).Distinct().ToList()), Acts: g.Aggregate(ActSet.None, (a, m) => a | (m.Heard.Way.Acts & m.Mix.Acts)), Place: g.First().Mix.Place, Others: g.Select(m => m.Member.Way?.Place).OfType<Place>()))
            .Select(r => book.RowOf([r.Signal, r.Gain switch { null => "as you ask", 0 => "as it comes", < 0 => $"{Quantity.Number(-r.Gain.Value)} dB lower", _ => $"{Quantity.Number(r.Gain!.Value)} dB higher" }, r.Side, r.Acts.Covers(acts) ? "" : book.During(r.Acts), Cell.Empty, Cell.Empty], r.Place, r.Others))
            .ToImmutableArray();
        var during = book.During(acts);
        var channels = string.Join(", ", heard.GroupBy(h => (h.At.Device, h.At.Socket)).Select(g => $"{(g.Key.Device.Unit.Elements.Count > 1 ? PlanBook.TitleOf(g.Key.Device) + " " : "")}{g.Key.Socket.Name} {Words.Runs(g.Select(h => h.At.Channel + 1).Distinct().Order())}"));
        return new Section($"{title}: {channels}{(during.Length > 0 ? $", {during}" : "")}", [new("You hear"), new("How loud"), new("Side"), new("Acts"), Column.WriteIn("Louder or softer"), Column.WriteIn("Notes")], rows)
        {
            Remark = Lateness.Sentence(book, heard.Select(h => h.At), acts),
        };
    }

    /// <summary>The mix that an element is or continues; null if it is a single signal.</summary>
    private static FeedWay? MixOf(FeedWay way, int element) => Back(way, element).Way is { Origin: WayOrigin.Sum } mix ? mix : null;

    private static int ElementIn(FeedWay way, int element, FeedWay mix) => Back(way, element) is var (at, its) && at == mix ? its : element;

    private static (FeedWay Way, int Element) Back(FeedWay way, int element)
    {
        // Feeds can't form a circle, so this ends.
        while (way.Origin == WayOrigin.Feed && way.Members.FirstOrDefault(m => m.Places.Contains(element)) is { Way: { } next } member) (way, element) = (next, member.Element);
        return (way, element);
    }

    private static string SideOf(List<(FeedWay Way, int Element, GraphPoint At)> heard, List<int> elements)
    {
        var names = heard[0].Way.Elements;
        if (!names.AreSides || elements.Count == names.Count) return "";
        return string.Join(", ", elements.Select(e => names.NameOf(e) switch { "L" => "left", "R" => "right", "C" => "middle", var other => other }));
    }
}
