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
        var pairs = new Pairs(plan, own);
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Performer))
            if (binding.Symbol is FeedSymbol { Performer: { } performer } mix)
                foreach (var (number, passages) in pairs.LateIn(mix, binding, performer).OrderBy(p => p.Key))
                    if (Worst(passages) is { } worst) Say(plan, bag, mix, own[number].Feed, worst.Passage, worst.Point, worst.Acts);
    }

    /// <summary>The latest of some arrivals, with all acts in which it is so late.</summary>
    private static (Passage Passage, GraphPoint Point, ActSet Acts)? Worst(List<(Passage Passage, GraphPoint Point, ActSet Acts)> passages)
    {
        (Passage Passage, GraphPoint Point, ActSet Acts)? worst = null;
        foreach (var (passage, point, acts) in passages)
        {
            if (worst is { } before && passage.Arrival.Latest <= before.Passage.Arrival.Latest + Rounding)
            {
                if (passage.Arrival == before.Passage.Arrival) worst = before with { Acts = before.Acts | acts };
                continue;
            }
            worst = (passage, point, acts);
        }
        return worst;
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

    /// <summary>
    /// Finds which feeds reach which mixes late. A plan may have thousands of both: each mix looks only at what arrives there, and searches
    /// for ways only where something arrives late at all.
    /// </summary>
    /// <param name="plan">The plan.</param>
    /// <param name="own">The performers' own voices and wind instruments.</param>
    private sealed class Pairs(Plan plan, List<(FeedSymbol Feed, FeedBinding Binding)> own)
    {
        private readonly Dictionary<SignalView, WaySearch> fromAll = new(ReferenceEqualityComparer.Instance);
        private Dictionary<int, List<int>>? startingAt;

        /// <summary>By the number of each of a performer's feeds: where and when it arrives at a mix, wherever something is late.</summary>
        public Dictionary<int, List<(Passage Passage, GraphPoint Point, ActSet Acts)>> LateIn(FeedSymbol mix, FeedBinding binding, string performer)
        {
            var late = new Dictionary<int, List<(Passage, GraphPoint, ActSet)>>();
            foreach (var variant in binding.Variants)
                foreach (var view in plan.Facts.Views)
                {
                    var acts = view.Acts & variant.Acts;
                    if (acts.IsEmpty) continue;
                    var ends = variant.Ends.Where(e => !e.IsUnknown && IsLateAt(e.Node, view)).ToList();
                    if (ends.Count == 0) continue;
                    foreach (var number in Arriving(plan.Graph.Upstream(variant.Ends.Where(e => !e.IsUnknown).Select(e => e.Node), acts)))
                    {
                        var (feed, source) = own[number];
                        if (feed == mix || feed.Performer != performer || source.In(acts) is not { StartsAtSocket: true, StopCount: > 0 } sounding) continue;
                        var search = new WaySearch(plan.Graph, view, NodesOf(sounding).Where(n => n >= 0).ToHashSet());
                        foreach (var end in ends)
                            if (search.To(end.Node) is { Arrival.IsKnown: true } passage)
                            {
                                if (!late.TryGetValue(number, out var its)) late.Add(number, its = []);
                                its.Add((passage, plan.Rig.PointOf(end.Node), acts));
                            }
                    }
                }
            return late;
        }

        /// <summary>Whether a performer listens there and anything at all arrives later than it should.</summary>
        private bool IsLateAt(int node, SignalView view)
        {
            var monitor = plan.Rig.SocketOf(node).Monitor;
            if (monitor == Monitoring.None) return false;
            if (!fromAll.TryGetValue(view, out var search)) fromAll.Add(view, search = new WaySearch(plan.Graph, view));
            return search.To(node) is { } passage && passage.Arrival.Latest > (monitor == Monitoring.InEar ? MonitorDelay.InEarNote : MonitorDelay.WedgeNote) + Rounding;
        }

        /// <summary>The numbers of the feeds that start at any of some nodes.</summary>
        private HashSet<int> Arriving(HashSet<int> nodes)
        {
            if (startingAt is null)
            {
                startingAt = [];
                for (var number = 0; number < own.Count; number++)
                    foreach (var node in own[number].Binding.Variants.Where(v => v is { StartsAtSocket: true, StopCount: > 0 }).SelectMany(NodesOf).Where(n => n >= 0).Distinct())
                    {
                        if (!startingAt.TryGetValue(node, out var numbers)) startingAt.Add(node, numbers = []);
                        numbers.Add(number);
                    }
            }
            var arriving = new HashSet<int>();
            foreach (var node in nodes)
                if (startingAt.TryGetValue(node, out var numbers)) arriving.UnionWith(numbers);
            return arriving;
        }

        private static IEnumerable<int> NodesOf(FeedVariant feed) => Enumerable.Range(0, feed.Elements.Count).Select(e => feed.NodeAt(0, e));
    }
}
