using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// A deliberate delay applies at the last hop of its own feed. Gives PL0603 where the feed has none; a negative delay is a wrong value.
/// </summary>
internal static class DelayCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Delay))
        {
            if (binding.Symbol is not FeedSymbol feed || feed.Settings["delay"] is not { Value: { Measure: Text.Measure.Time } time } setting) continue;
            if (time.Value < 0) bag.Add(NameFindings.WrongValueOf("delay", "takes a time of 0 or more"), feed.At(setting.Span));
            else if (feed.Hops.IsEmpty) bag.Add(LatencyFindings.NoHopFor(feed.Name), feed.At(setting.Span));
        }
    }
}
