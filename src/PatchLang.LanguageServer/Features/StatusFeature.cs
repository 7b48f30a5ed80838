using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Features;

/// <summary><c>patchlang/status</c>: the state of a document's plan in a few figures.</summary>
internal static class StatusFeature
{
    public static PlanStatus? Answer(Snapshot snapshot, PlanQuestion question)
    {
        var plan = question.Uri is { } uri ? snapshot.ViewOf(uri)?.Plan : snapshot.Plans.FirstOrDefault();
        if (plan is null) return null;
        var compilation = plan.Compilation;
        var counts = plan.Findings.GroupBy(f => f.Severity).ToDictionary(g => g.Key, g => g.Count());
        return new PlanStatus(
            snapshot.RootUriOf(plan),
            counts.GetValueOrDefault(Severity.Error), counts.GetValueOrDefault(Severity.Warning), counts.GetValueOrDefault(Severity.Note), counts.GetValueOrDefault(Severity.Hint),
            compilation.Rate, Timekeepers(compilation), Leaders(compilation))
        {
            Title = compilation.Title,
        };
    }

    private static string[] Timekeepers(Compilation compilation) => [.. compilation.Rig.Clocks.Where(c => compilation.Rig.RoleOf(c, compilation.Rig.AllActs) == ClockRole.Timekeeper).Select(c => c.Name)];

    private static string[] Leaders(Compilation compilation) =>
        [.. compilation.Clocks.Views.SelectMany(v => v.States).Where(s => s.Root is { } root && root != s.Clock).GroupBy(s => s.Root!).OrderByDescending(g => g.Count()).ThenBy(g => g.Key.Index).Select(g => g.Key.Name)];
}
