using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Writes out what the compiler filled in: hops with only one possibility, and the channels that a plain socket stands for.</summary>
internal static class WayRewrites
{
    /// <summary>The rewrites for the feeds and inserts in a part of a file.</summary>
    public static IEnumerable<Rewrite> In(PlanQueries queries, SyntaxTree tree, TextSpan within)
    {
        var (hops, channels) = (new List<TextChange>(), new List<TextChange>());
        var ways = new List<WrittenWay>();
        for (var i = Math.Max(0, tree.IndexAt(within.Start)); i < tree.Count && tree.StartOf(i) <= within.End; i++)
        {
            if (WrittenWay.At(queries, tree, i) is not { } way) continue;
            var count = hops.Count;
            Add(queries, queries.FileOf(tree), tree.StartOf(i), way, hops, channels);
            if (hops.Count > count) ways.Add(way);
        }
        if (hops.Count > 0) yield return new Rewrite(TitleOf(ways), RewriteSort.Rewriting, TidyChange.Of(tree, hops));
        if (channels.Count > 0) yield return new Rewrite(channels.Count == 1 ? $"write the channels: {channels[0].NewText}" : "write the channels", RewriteSort.Rewriting, TidyChange.Of(tree, channels));
    }

    private static string TitleOf(List<WrittenWay> ways) =>
        ways is [var only] ? $"write out the way of {only.Name}" : ways.TrueForAll(w => w.Feed is not null) ? $"write out the ways of {ways.Count} feeds" : $"write out {ways.Count} ways";

    private static void Add(PlanQueries queries, PlanFile file, int start, WrittenWay way, List<TextChange> hops, List<TextChange> channels)
    {
        List<TextChange>? ways = null;
        List<TextChange>? indexes = null;
        foreach (var variant in way.Binding.Variants)
        {
            if (variant.IsUnknown || Read(queries, file, start, way, variant) is not var (its, picked)) return;
            // What differs between acts can't be written once.
            if (ways is not null && (!ways.SequenceEqual(its) || !indexes!.SequenceEqual(picked))) return;
            (ways, indexes) = (its, picked);
        }
        hops.AddRange(ways ?? []);
        channels.AddRange(indexes ?? []);
    }

    /// <summary>The changes for one variant; null if a plan can't express them.</summary>
    private static (List<TextChange> Hops, List<TextChange> Channels)? Read(PlanQueries queries, PlanFile file, int start, WrittenWay way, FeedVariant variant)
    {
        var (hops, channels) = (new List<TextChange>(), new List<TextChange>());
        var (written, filled) = (0, new List<string>());
        for (var i = way.FirstStop; i < way.StopsOf(variant); i++)
        {
            var stop = variant.PointsAt(i, queries.Plan.Rig);
            if (Array.Exists(stop, p => p.IsUnknown)) return null;
            if (variant.FilledInStops?.Contains(i) == true)
            {
                if (PathOf(queries, file, stop) is not { } path) return null;
                if (filled.Count == 0 || filled[^1] != path) filled.Add(path);
                continue;
            }
            if (written >= way.Hops.Length) return null;
            var hop = way.Hops[written++];
            if (filled.Count > 0) hops.Add(new TextChange(new TextSpan(start + hop.Span.Start, 0), string.Join(" -> ", filled) + " -> "));
            filled.Clear();
            if (hop.Steps[^1].Index is null && stop.Length > 1 && stop[0].Socket.CountOn(stop[0].Side) > 1 && AreOfOneSocket(stop)) channels.Add(new TextChange(new TextSpan(start + hop.Span.End, 0), Index(stop)));
        }
        return filled.Count > 0 ? null : (hops, channels);
    }

    private static bool AreOfOneSocket(GraphPoint[] points) => Array.TrueForAll(points, p => p.Device == points[0].Device && p.Socket == points[0].Socket);

    /// <summary>A row of points as a file would write it; null if it can't.</summary>
    private static string? PathOf(PlanQueries queries, PlanFile file, GraphPoint[] points)
    {
        if (!AreOfOneSocket(points) || queries.NameIn(file, points[0].Device.Unit) is not { } unit) return null;
        var (device, socket) = (points[0].Device, points[0].Socket);
        // A device's name begins with its unit's; only the prefix before that differs between files.
        return $"{unit}{device.Name[device.Unit.Name.Length..]}.{socket.Name}{(socket.CountOn(points[0].Side) == 1 ? "" : Index(points))}";
    }

    private static string Index(GraphPoint[] points)
    {
        var parts = new List<string>();
        for (var i = 0; i < points.Length;)
        {
            var end = i;
            while (end + 1 < points.Length && points[end + 1].Channel == points[end].Channel + 1) end++;
            parts.Add(end == i ? Number(points[i]) : $"{Number(points[i])}..{Number(points[end])}");
            i = end + 1;
        }
        return $"[{string.Join(", ", parts)}]";
    }

    private static string Number(GraphPoint point) => (point.Channel + 1).ToString(CultureInfo.InvariantCulture);
}
