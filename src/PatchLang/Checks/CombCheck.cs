using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Comb filtering: a sum, or a performer's own mixer, that hears one origin over two ways of different delay. Gives PL0601, once for many alike.
/// </summary>
internal static class CombCheck
{
    private const double Step = 1e-6; // delays closer than a microsecond count as equal

    public static void Check(Plan plan, DraftBag bag)
    {
        var found = new Dictionary<Likeness, Found>();
        foreach (var view in plan.Facts.Views)
            foreach (var comb in Comb.In(plan.Graph, view))
            {
                var (early, late) = (Own(plan.Graph, comb.Early, comb.Late), Own(plan.Graph, comb.Late, comb.Early));
                var likeness = new Likeness(
                    early < 0 ? null : plan.Graph.BindingOf(early), late < 0 ? null : plan.Graph.BindingOf(late), early < 0 && late < 0 ? comb.Sum.Node : -1,
                    (long)Math.Round(comb.Least / Step), (long)Math.Round(comb.Most / Step), comb.Lower);
                if (!found.TryGetValue(likeness, out var alike)) found.Add(likeness, alike = new Found(comb, early, late));
                alike.Add(view.Acts, comb.Sum.Node, comb.Shared.Origin);
            }
        foreach (var alike in found.Values) bag.Add(Say(plan, alike));
    }

    /// <summary>What alike findings have in common: the feeds in which the ways differ, and how far apart they are, in microseconds.</summary>
    private readonly record struct Likeness(FeedBinding? Early, FeedBinding? Late, int Sum, long Least, long Most, double? Lower);

    private sealed class Found(Comb comb, int early, int late)
    {
        private readonly SortedSet<int> sums = [];
        private readonly SortedSet<int> origins = [];

        public Comb Comb { get; } = comb;

        /// <summary>The last hop that only the earlier way takes; −1 if there is none.</summary>
        public int Early { get; } = early;

        public int Late { get; } = late;

        public ActSet Acts { get; private set; }

        /// <summary>The nodes at which both ways meet.</summary>
        public IReadOnlyCollection<int> Sums => sums;

        /// <summary>The nodes at which both ways start.</summary>
        public IReadOnlyCollection<int> Origins => origins;

        public void Add(ActSet acts, int sum, int origin)
        {
            Acts |= acts;
            sums.Add(sum);
            origins.Add(origin);
        }
    }

    /// <summary>The last hop of a way in a feed that the other way does not use; −1 if there is none.</summary>
    private static int Own(SignalGraph graph, Way way, Way other)
    {
        for (var i = way.Edges.Length - 1; i >= 0; i--)
            if (!Takes(graph, other, graph.OwnerOf(way.Edges[i]))) return way.Edges[i];
        return -1;
    }

    private static bool Takes(SignalGraph graph, Way way, int owner)
    {
        foreach (var edge in way.Edges)
            if (graph.OwnerOf(edge) == owner) return true;
        return false;
    }

    private static Draft Say(Plan plan, Found found)
    {
        var comb = found.Comb;
        var (early, late) = (found.Early < 0 ? comb.Early.Edges[^1] : found.Early, found.Late < 0 ? comb.Late.Edges[^1] : found.Late);
        return new Draft(
            LatencyFindings.TwoWays(
                Listed(plan, found.Sums), found.Sums.Count > 1, Listed(plan, found.Origins), Quantity.Milliseconds(comb.Least, comb.Most), Notches(comb.Least, comb.Most), Depth(comb.Lower),
                plan.During(found.Acts)),
            plan.AnchorOf(late))
        {
            Severity = comb.IsSure ? Severity.Warning : Severity.Note,
            Related = [(plan.AnchorOf(early), $"the earlier way: {Words(plan, comb.Early)}"), (plan.AnchorOf(late), $"the later way: {Words(plan, comb.Late)}")],
            Fixes = Fixes(plan, found),
            Acts = found.Acts,
            FollowsFrom = [.. comb.Early.Edges.Concat(comb.Late.Edges).Select(plan.Graph.ToOf).Distinct().Select(n => FeedBinder.TwoSourcesAt(plan.Rig.PointOf(n)))],
        };
    }

    /// <summary>Points as a plan writes them, with the channels of each socket together: the first two, and how many more there are.</summary>
    private static string Listed(Plan plan, IReadOnlyCollection<int> nodes)
    {
        var names = new List<string>();
        foreach (var alike in nodes.Select(plan.Rig.PointOf).GroupBy(p => (p.Device, p.Socket, p.Side)))
        {
            var (first, last, count) = (alike.First(), alike.Last(), alike.Count());
            if (count > 1 && last.Channel - first.Channel == count - 1) names.Add($"{first.Device.Name}.{first.Socket.Name}[{first.Channel + 1}..{last.Channel + 1}]");
            else names.AddRange(alike.Select(p => p.ToString()));
        }
        return names.Count <= 2 ? string.Join(" and ", names) : $"{names[0]}, {names[1]} and {names.Count - 2} more";
    }

    private static string Words(Plan plan, Way way) =>
        $"{string.Join(" -> ", way.Edges.Select(plan.Graph.FromOf).Append(plan.Graph.ToOf(way.Edges[^1])).Select(n => plan.Rig.PointOf(n).ToString()))}, {Quantity.Milliseconds(way.Delay.Earliest, way.Delay.Latest)}";

    private static string Notches(double least, double most) =>
        Quantity.Milliseconds(least, most) == Quantity.Milliseconds(least)
            ? $"it cancels at {Frequency(most, 0)}, {Frequency(most, 1)}, {Frequency(most, 2)} and on"
            : $"it cancels from {Frequency(most, 0)} on, or from higher up";

    /// <summary>The frequency of a notch to three figures: no ear can tell more.</summary>
    private static string Frequency(double delay, int number)
    {
        var hertz = CombFilter.Notch(delay, number);
        var unit = Math.Pow(10, Math.Floor(Math.Log10(hertz)) - 2);
        return Quantity.Frequency(Math.Round(hertz / unit) * unit);
    }

    private static string Depth(double? lower) => lower switch
    {
        null => "how deep hangs on gains that are set by ear",
        0 => "wholly, since both are equally loud",
        { } apart => $"by up to {(-CombFilter.Depth(apart)).ToString("0.#", CultureInfo.InvariantCulture)} dB, since one is {Quantity.Number(apart)} dB lower",
    };

    /// <summary>The delay that aligns the earlier way, if that way ends with a feed that the later one does not use.</summary>
    private static ImmutableArray<FixDraft> Fixes(Plan plan, Found found)
    {
        if (found.Early < 0 || plan.Graph.FeedOf(found.Early) is not { Hops.IsEmpty: false } feed || !plan.Graph.EndsOwnersWay(found.Early)) return [];
        var delay = (found.Comb.Least + found.Comb.Most) / 2;
        return [new FixDraft($"delay {feed.Name} by {Quantity.Milliseconds(delay)}", false, [FeedSettings.Delay(feed, delay)])];
    }
}
