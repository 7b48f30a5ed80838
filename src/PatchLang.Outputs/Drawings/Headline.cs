using PatchLang.Declarations;

namespace PatchLang.Outputs.Drawings;

/// <summary>The title of a drawing.</summary>
internal static class Headline
{
    /// <summary>What it shows, of which plan, in which acts.</summary>
    public static string Of(Compilation plan, string what, ActSet acts)
    {
        var title = plan.Title is { Length: > 0 } named ? named : plan.Trees[0].Source.Path;
        return $"{what}: {title}{During(plan, acts)}";
    }

    /// <summary>The acts, if they are not all acts.</summary>
    public static string During(Compilation plan, ActSet acts) =>
        acts.Covers(plan.Rig.AllActs) ? "" : $", {string.Join(", ", plan.Acts.Where(a => acts.Has(a.Number)).Select(a => a.Label ?? a.Name))}";
}
