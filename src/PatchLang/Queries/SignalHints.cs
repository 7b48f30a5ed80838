using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Something about a feed or an insert that the compiler inferred and the plan does not write, for an inlay hint.</summary>
/// <param name="Offset">Where to show it, from the start of the file.</param>
/// <param name="Text">What to show.</param>
/// <param name="Remark">An explanation.</param>
/// <param name="IsBefore">Whether it belongs to the text after it.</param>
public readonly record struct SignalHint(int Offset, string Text, string Remark, bool IsBefore);

/// <summary>Hints for filled-in hops, for the channels that a plain socket stands for, and for when sound arrives.</summary>
public static class SignalHints
{
    /// <summary>The hints in a part of a file, in order.</summary>
    public static List<SignalHint> Of(PlanQueries queries, SyntaxTree tree, TextSpan within)
    {
        var hints = new List<SignalHint>();
        for (var i = Math.Max(0, tree.IndexAt(within.Start)); i < tree.Count && tree.StartOf(i) <= within.End; i++)
        {
            if (WrittenWay.At(queries, tree, i) is { } way) Add(queries, tree.StartOf(i), way, hints);
        }
        hints.RemoveAll(h => h.Offset < within.Start || h.Offset > within.End);
        return hints;
    }

    private static void Add(PlanQueries queries, int start, WrittenWay way, List<SignalHint> hints)
    {
        if (way.Binding.Variants is not [{ IsUnknown: false } variant, ..] || way.Hops.IsEmpty) return;
        var (written, filled) = (0, new List<string>());
        for (var i = way.FirstStop; i < way.StopsOf(variant); i++)
        {
            if (variant.FilledInStops?.Contains(i) == true)
            {
                if (PointsOf(variant.PointsAt(i, queries.Plan.Rig)) is { } points) filled.Add(points);
                continue;
            }
            if (written >= way.Hops.Length) return;
            var hop = way.Hops[written++];
            if (filled.Count > 0) hints.Add(new SignalHint(start + hop.Span.Start, string.Join(" -> ", filled) + " ->", "filled in: it can go no other way", true));
            filled.Clear();
            if (hop.Steps[^1].Index is null && ChannelsOf(variant.PointsAt(i, queries.Plan.Rig)) is { } channels) hints.Add(new SignalHint(start + hop.Span.End, $"[{channels}]", "all channels, in order", false));
        }
        if (way.Feed is { } feed) AddArrival(queries, start, feed, variant, hints);
    }

    private static void AddArrival(PlanQueries queries, int start, FeedSymbol feed, FeedVariant variant, List<SignalHint> hints)
    {
        if (variant.Ends is not [{ IsUnknown: false } end, ..]) return;
        // If acts differ, show the longest delay; if it is unknown in one of them, show nothing.
        var (latest, isKnown) = (0.0, true);
        foreach (var view in queries.Plan.Facts.Views)
        {
            if (!view.Acts.Meets(variant.Acts)) continue;
            var arrival = view.ArrivalAt(end.Node);
            isKnown &= arrival.IsKnown;
            latest = Math.Max(latest, arrival.Latest);
        }
        if (!isKnown || latest <= 0) return;
        hints.Add(new SignalHint(start + feed.Hops[^1].Span.End, $"{Quantity.Number(latest * 1000)} ms", $"sound is at {queries.Plan.Rig.PointOf(end.Node)} so long after it left its source, at the latest", false));
    }

    /// <summary>A row of points as a plan writes it; null if they are not on one socket.</summary>
    private static string? PointsOf(GraphPoint[] points)
    {
        if (points.Length == 0 || points[0].IsUnknown) return null;
        if (points.Length == 1) return points[0].ToString();
        return Array.TrueForAll(points, p => !p.IsUnknown && p.Device == points[0].Device && p.Socket == points[0].Socket)
            ? $"{points[0].Device.Name}.{points[0].Socket.Name}[{Description.Ranges([.. points.Select(p => p.Channel)])}]"
            : null;
    }

    private static string? ChannelsOf(GraphPoint[] points) =>
        points.Length > 0 && Array.TrueForAll(points, p => !p.IsUnknown && p.Device == points[0].Device && p.Socket == points[0].Socket && p.Socket.CountOn(p.Side) > 1)
            ? Description.Ranges([.. points.Select(p => p.Channel)])
            : null;
}
