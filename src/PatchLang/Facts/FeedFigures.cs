using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>The figures of a feed where somebody hears it, for the elements that share them.</summary>
/// <param name="Way">The feed.</param>
/// <param name="Elements">The indices of its elements, from 0.</param>
/// <param name="HeardAt">Where each of them is heard.</param>
/// <param name="Arrival">When everything in it arrives.</param>
/// <param name="Headroom">How much headroom there is.</param>
/// <param name="Twice">The comb filters in it: one per origin, with the two ways furthest apart.</param>
public sealed record FeedFigures(FeedWay Way, ImmutableArray<int> Elements, ImmutableArray<GraphPoint> HeardAt, Arrival Arrival, Headroom Headroom, ImmutableArray<Comb> Twice)
{
    private const double Rounding = 1e-6; // dB

    /// <summary>The figures of all feeds that end at a listener, in the order of the plan, for the acts of a view.</summary>
    public static ImmutableArray<FeedFigures> In(SignalGraph graph, SignalView view, IEnumerable<FeedWay> ways)
    {
        var combs = Comb.In(graph, view).ToLookup(c => c.Sum.Node);
        var figures = ImmutableArray.CreateBuilder<FeedFigures>();
        foreach (var way in ways)
        {
            if (way.Feed is null || way.IsUnknown || !way.Acts.Meets(view.Acts)) continue;
            for (var element = 0; element < way.Count; element++)
                foreach (var point in way.EndsOf(element))
                    if (point.Socket.Settings.Has("listener")) Add(way, element, point);
        }
        return figures.DrainToImmutable();

        void Add(FeedWay way, int element, GraphPoint point)
        {
            var arrival = view.ArrivalAt(point.Node);
            var headroom = view.Levels.HeadroomAt(point.Node);
            ImmutableArray<Comb> twice = combs.Count == 0 ? [] :
            [
                .. graph.Upstream([point.Node], view.Acts).SelectMany(n => combs[n]).GroupBy(c => c.Shared.Origin).Select(g => g.MaxBy(c => c.Most)!).OrderBy(c => c.Shared.Origin),
            ];
            if (figures.Count > 0 && figures[^1] is var last && last.Way == way && IsSame(last, point, arrival, headroom, twice))
                figures[^1] = last with { Elements = last.Elements.Add(element), HeardAt = last.HeardAt.Add(point) };
            else figures.Add(new FeedFigures(way, [element], [point], arrival, headroom, twice));
        }
    }

    private static bool IsSame(FeedFigures last, GraphPoint point, Arrival arrival, Headroom headroom, ImmutableArray<Comb> twice)
    {
        var before = last.HeardAt[^1];
        return (before.Device, before.Socket, before.Side) == (point.Device, point.Socket, point.Side) && point.Channel == before.Channel + 1
            && (last.Arrival.Earliest, last.Arrival.Latest, last.Arrival.IsKnown) == (arrival.Earliest, arrival.Latest, arrival.IsKnown)
            && last.Headroom.IsWhole == headroom.IsWhole && last.Headroom.Decibels is null == headroom.Decibels is null
            && !(Math.Abs((last.Headroom.Decibels - headroom.Decibels) ?? 0) > Rounding)
            && last.Twice.Select(c => (c.Shared.Origin, c.Most)).SequenceEqual(twice.Select(c => (c.Shared.Origin, c.Most)));
    }
}
