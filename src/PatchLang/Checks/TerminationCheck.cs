using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// A line looped through several inputs is terminated once, at its end: two terminations in parallel halve the load resistance (75 ohm
/// beside 75 ohm is 37.5), which lowers the level. Checked only for inputs that the gear declares as always terminated. Gives PL0515.
/// </summary>
internal static class TerminationCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        foreach (var (from, cables) in plan.Rig.CablesFrom)
        {
            if (from.Socket.Format is not { Joins: Joining.Shared }) continue;
            var ends = cables.Where(c => c.To.Socket.Settings.Has("terminated")).ToList();
            foreach (var acts in ActClasses.Split(plan.Rig.AllActs, ends.Select(c => c.Acts)))
            {
                var here = ends.Where(c => c.Acts.Meets(acts)).OrderBy(c => c.Index).ToList();
                if (here.Count < 2) continue;
                bag.Add(
                    ClockFindings.TwoTerminations(from.ToString(), [.. here.Select(c => c.To.ToString())]), here[1].Statement.At(here[1].Statement.To.Span),
                    here[0].Statement.At(here[0].Statement.To.Span), "the other end");
            }
        }
    }
}
