using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>A comb filter: an origin that reaches a sum over two ways, near enough in time and level that some frequencies cancel.</summary>
/// <param name="Sum">The sum at which the two meet.</param>
/// <param name="Shared">The origin, and all its ways to the sum.</param>
/// <param name="Early">The earlier of the two.</param>
/// <param name="Late">The later.</param>
/// <param name="Least">The least delay between the two, in seconds.</param>
/// <param name="Most">The most delay between the two, in seconds.</param>
/// <param name="Lower">The difference in level, in dB; null if it depends on something set by ear.</param>
public sealed record Comb(Sum Sum, SharedOrigin Shared, Way Early, Way Late, double Least, double Most, double? Lower)
{
    private const double Rounding = 1e-9; // a nanosecond, in seconds

    /// <summary>Whether it happens however things are set by ear, and throughout the range of the delays.</summary>
    public bool IsSure => Lower is not null && Least >= CombFilter.LeastDelay - Rounding && Most <= CombFilter.MostDelay + Rounding;

    /// <summary>All comb filters in some acts. Sums that align their sources have none, and unknown delays give none.</summary>
    public static IEnumerable<Comb> In(SignalGraph graph, SignalView view)
    {
        foreach (var sum in view.Rejoining)
        {
            if (sum.Sort == SumSort.Point || sum.IsAligned) continue;
            foreach (var shared in sum.Shared)
                for (var i = 1; i < shared.Ways.Length; i++)
                    for (var j = 0; j < i; j++)
                        if (Of(graph, sum, shared, shared.Ways[j], shared.Ways[i]) is { } comb) yield return comb;
        }
    }

    private static Comb? Of(SignalGraph graph, Sum sum, SharedOrigin shared, Way one, Way other)
    {
        if (!one.Delay.IsKnown || !other.Delay.IsKnown || AreTwoEars(graph, one, other)) return null;
        var (early, late) = other.Delay.Latest < one.Delay.Latest ? (other, one) : (one, other);
        var (least, most) = (Math.Max(0, late.Delay.Earliest - early.Delay.Latest), late.Delay.Latest - early.Delay.Earliest);
        if (most < CombFilter.LeastDelay - Rounding || least > CombFilter.MostDelay + Rounding) return null;
        var lower = one.Gain is { } its && other.Gain is { } others ? Math.Abs(its - others) : (double?)null;
        return lower > CombFilter.MostApart ? null : new Comb(sum, shared, early, late, least, most, lower);
    }

    /// <summary>Whether the two ways end at different sides of one feed, such as left and right in a performer's earphones.</summary>
    private static bool AreTwoEars(SignalGraph graph, Way one, Way other) =>
        graph.ToOf(one.Edges[^1]) != graph.ToOf(other.Edges[^1]) && graph.OwnerOf(one.Edges[^1]) == graph.OwnerOf(other.Edges[^1])
        && graph.FeedOf(one.Edges[^1]) is { Elements.AreSides: true };
}
