using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>A signal that returns to itself, in one act. An insert is in series and closes no circle. Gives PL0314.</summary>
internal static class FeedbackCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        if (!plan.Graph.HasCircles) return;
        var said = new HashSet<int>();
        foreach (var acts in plan.Rig.AllActs.Each)
            foreach (var circle in plan.Graph.Circles(acts))
                if (!circle.Exists(said.Contains))
                {
                    said.UnionWith(circle);
                    Say(plan, circle, acts, bag);
                }
    }

    private static void Say(Plan plan, List<int> circle, ActSet acts, DraftBag bag)
    {
        var inside = circle.ToHashSet();
        var edges = new List<int>();
        foreach (var node in circle)
            foreach (var edge in plan.Graph.OutOf(node))
                if (inside.Contains(plan.Graph.ToOf(edge)) && plan.Graph.ActsOf(edge).Meets(acts) && !plan.Graph.HopOf(edge).IsInsert) edges.Add(edge);
        edges.Sort((a, b) => plan.Compare(plan.AnchorOf(a), plan.AnchorOf(b)));
        // The last statement in the plan's order is taken as the one that closed the circle.
        var last = edges[^1];
        var others = edges.Select(plan.AnchorOf).Where(a => a.Statement != plan.AnchorOf(last).Statement).DistinctBy(a => a.Statement).Take(4);
        bag.Add(new Draft(
            ChannelFindings.ReturnsToItself([.. circle.Take(6).Select(n => plan.Rig.PointOf(n).ToString())], circle.Count, plan.During(acts)), plan.AnchorOf(last))
        {
            Related = [.. others.Select(a => (a, "part of the circle"))],
        });
    }
}
