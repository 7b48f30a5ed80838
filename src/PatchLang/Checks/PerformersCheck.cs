using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Voices and wind instruments that reach their own performer's ears late. In the plan, <c>performer</c> states whose sound a feed
/// carries and who hears a mix; in the gear, <c>monitor</c> marks where a performer listens. Gives PL0602.
/// </summary>
internal static class PerformersCheck
{
    private const double Rounding = 1e-9; // a nanosecond, in seconds

    public static void Check(Plan plan, DraftBag bag)
    {
        List<(FeedSymbol Feed, FeedBinding Binding)>? own = null;
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Performer))
            if (binding.Symbol is FeedSymbol { IsVoiceOrWind: true, Performer: not null } feed) (own ??= []).Add((feed, binding));
        if (own is null) return;
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Performer))
            if (binding.Symbol is FeedSymbol { Performer: { } performer } mix)
            {
                var heard = new Dictionary<(FeedVariant, SignalView), HashSet<int>>();
                foreach (var (feed, source) in own)
                    if (feed != mix && feed.Performer == performer) CheckPair(plan, bag, mix, binding, feed, source, heard);
            }
    }

    /// <param name="plan">The plan.</param>
    /// <param name="bag">Takes what is found.</param>
    /// <param name="mix">A mix that the performer hears.</param>
    /// <param name="mixBinding">The mix's binding.</param>
    /// <param name="feed">The performer's own voice or wind instrument.</param>
    /// <param name="source">That feed's binding.</param>
    /// <param name="heard">
    /// Caches what arrives at the mix. Most of a performer's feeds are in few mixes, and those that don't arrive need no search for their ways.
    /// </param>
    private static void CheckPair(
        Plan plan, DraftBag bag, FeedSymbol mix, FeedBinding mixBinding, FeedSymbol feed, FeedBinding source, Dictionary<(FeedVariant, SignalView), HashSet<int>> heard)
    {
        (Passage Passage, GraphPoint Point, ActSet Acts)? worst = null;
        foreach (var variant in mixBinding.Variants)
            foreach (var view in plan.Facts.Views)
            {
                var acts = view.Acts & variant.Acts;
                if (acts.IsEmpty || source.In(acts) is not { StartsAtSocket: true, StopCount: > 0 } sounding) continue;
                if (!heard.TryGetValue((variant, view), out var arriving))
                    heard.Add((variant, view), arriving = plan.Graph.Upstream(variant.Ends.Where(e => !e.IsUnknown).Select(e => e.Node), acts));
                if (!Enumerable.Range(0, sounding.Elements.Count).Any(e => arriving.Contains(sounding.NodeAt(0, e)))) continue;
                var starts = Enumerable.Range(0, sounding.Elements.Count).Select(e => sounding.NodeAt(0, e)).Where(n => n >= 0).ToHashSet();
                var search = new WaySearch(plan.Graph, view, starts);
                foreach (var end in variant.Ends)
                {
                    if (end.IsUnknown || plan.Rig.SocketOf(end.Node).Monitor == Monitoring.None) continue;
                    if (search.To(end.Node) is not { Arrival.IsKnown: true } passage) continue;
                    if (worst is { } before && passage.Arrival.Latest <= before.Passage.Arrival.Latest + Rounding)
                    {
                        if (passage.Arrival == before.Passage.Arrival) worst = before with { Acts = before.Acts | acts };
                        continue;
                    }
                    worst = (passage, plan.Rig.PointOf(end.Node), acts);
                }
            }
        if (worst is { } found) Say(plan, bag, mix, feed, found.Passage, found.Point, found.Acts);
    }

    private static void Say(Plan plan, DraftBag bag, FeedSymbol mix, FeedSymbol feed, Passage passage, GraphPoint point, ActSet acts)
    {
        var isInEar = point.Socket.Monitor == Monitoring.InEar;
        var (note, warning) = isInEar ? (MonitorDelay.InEarNote, MonitorDelay.InEarWarning) : (MonitorDelay.WedgeNote, MonitorDelay.WedgeWarning);
        var latest = passage.Arrival.Latest;
        if (latest <= note + Rounding) return;
        var isLate = latest > warning + Rounding;
        var limit = isLate ? $"above {Quantity.Milliseconds(warning)} most singers and wind players are disturbed" : $"from {Quantity.Milliseconds(note)} on some are disturbed";
        bag.Add(new Draft(
            LatencyFindings.OwnSoundLate(
                feed.Name, feed.Performer!, isInEar ? $"in the ear, at {point}" : $"from the wedge, at {point}",
                Quantity.Milliseconds(passage.Arrival.Earliest, latest), limit, plan.During(acts & feed.Acts & mix.Acts)),
            mix.Anchor)
        {
            Severity = isLate ? Severity.Warning : Severity.Note,
            Related = [(feed.Anchor, $"{feed.Performer}'s own"), .. HopByHop.Of(plan, passage.Slowest)],
            Acts = acts,
        });
    }
}
