using PatchLang.Declarations;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>Lists a signal's way beside a finding: each hop that takes time, and how long.</summary>
internal static class HopByHop
{
    public static IEnumerable<(Anchor At, string Remark)> Of(Plan plan, IEnumerable<int> edges)
    {
        foreach (var edge in edges)
        {
            var delay = plan.Facts.Delays[edge];
            if (delay is { IsKnown: true, Latest: 0 }) continue;
            var hop = $"{plan.Rig.PointOf(plan.Graph.FromOf(edge))} -> {plan.Rig.PointOf(plan.Graph.ToOf(edge))}";
            yield return (plan.AnchorOf(edge), delay.Unsettled is { } unsettled ? $"{hop}: {unsettled.Words}" : $"{hop}: {Quantity.Milliseconds(delay.Earliest, delay.Latest)}");
        }
    }
}
