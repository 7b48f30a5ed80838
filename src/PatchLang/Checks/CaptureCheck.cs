using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// A follower's capture range is limited; the root it follows may be further off. Checked only where the gear states both figures. Gives PL0514.
/// </summary>
internal static class CaptureCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var drafts = new List<Draft>();
        foreach (var view in plan.Clocks.Views) Check(view, drafts);
        ActsOfDrafts.AddTogether(plan, drafts, bag);
    }

    private static void Check(ClockView view, List<Draft> drafts)
    {
        var beyond = view.States.Where(s => s.Upstream is not null && s.Root!?.Model.AccuracyPpm > s.Clock.Model.CapturePpm);
        foreach (var followers in beyond.GroupBy(s => (Root: s.Root!, s.Clock.Model.CapturePpm)))
        {
            var first = followers.First();
            drafts.Add(new Draft(
                ClockFindings.NotCaptured([.. followers.Select(s => s.Clock.Name)], followers.Key.CapturePpm!.Value, followers.Key.Root.Name, followers.Key.Root.Model.AccuracyPpm!.Value),
                first.Following is { } following ? following.Statement.At(following.Statement.Source.Span) : first.Clock.Device.Unit.Anchor)
            {
                Acts = view.Acts,
                Related = [(followers.Key.Root.Device.Unit.Anchor, $"{followers.Key.Root.Name} runs free")],
            });
        }
    }
}
