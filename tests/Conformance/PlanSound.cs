namespace PatchLang.Conformance;

/// <summary>What a plan means, as lines that can be held beside those of another.</summary>
internal static class PlanSound
{
    /// <summary>Every hop of every channel, and who follows whom, by name.</summary>
    public static List<string> Of(Compilation plan)
    {
        var lines = new List<string>();
        for (var edge = 0; edge < plan.Graph.EdgeCount; edge++)
        {
            var (from, to, hop) = (plan.Rig.PointOf(plan.Graph.FromOf(edge)), plan.Rig.PointOf(plan.Graph.ToOf(edge)), plan.Graph.HopOf(edge));
            var acts = string.Join(',', plan.Acts.Where(a => plan.Graph.ActsOf(edge).Has(a.Number)).Select(a => a.Name));
            lines.Add($"{from} {from.Side} -> {to} {to.Side} {hop.Kind} {hop.Tap} {hop.Gain} {hop.IsInsert} {plan.Graph.FeedOf(edge)?.Name} {acts}");
        }
        lines.Sort(StringComparer.Ordinal);
        lines.AddRange(plan.Clocks.Views.SelectMany(v => v.States).Select(s => $"{s.Clock} {s.SourceText} {s.Root}"));
        return lines;
    }
}
