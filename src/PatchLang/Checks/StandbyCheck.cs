using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Whether a standby takes over when its timekeeper is lost, so that one clock domain stays one. Checked only where a plan names a
/// standby. Gives PL0511, PL0512 and PL0513.
/// </summary>
internal static class StandbyCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        if (plan.Rig.Timekeepers.TrueForAll(t => t.Standbys.IsEmpty)) return;
        var drafts = new List<Draft>();
        foreach (var view in plan.Clocks.Views)
            foreach (var keeper in plan.Rig.Timekeepers)
                // A timekeeper that follows another unit, or has no time, has a finding of its own.
                if (!keeper.Standbys.IsEmpty && keeper.Acts.Meets(view.Acts) && view[keeper.Clock].Root is { } root && root.Device.Outermost == keeper.Clock.Device.Outermost)
                    Check(plan, view, plan.Clocks.LossOf(view, keeper), drafts);
        ActsOfDrafts.AddTogether(plan, drafts, bag);
    }

    private static void Check(Plan plan, ClockView view, ClockLoss loss, List<Draft> drafts)
    {
        var keeper = loss.Keeping;
        if (HasRival(plan, view, loss)) return; // there is a finding for that
        var fails = false;
        for (var i = 0; i < keeper.Standbys.Length; i++)
        {
            if (plan.Rig.UnknownClocks.Contains(keeper.Standbys[i])) return;
            if (WhyItFails(plan, view, loss, keeper.Standbys[i], isFirst: i == 0) is not var (message, ahead)) continue;
            fails = true;
            drafts.Add(new Draft(message, PlaceOf(keeper, i)) { Acts = view.Acts, Fixes = WrittenPriorities.Without(ahead), FollowsFrom = [Rivals(keeper.Clock, keeper.Standbys[i])] });
        }
        if (fails || loss.Slips.IsEmpty) return;
        var slip = loss.Slips[0];
        drafts.Add(new Draft(
            ClockFindings.LossLeavesTwo(keeper.Clock.Name, slip.From, slip.To, loss.Slips.Length - 1, slip.FromRoot.Name, slip.ToRoot.Name, slip.Describe()),
            PlaceOf(keeper, 0))
        {
            Acts = view.Acts,
            FollowsFrom = [LooseEndsCheck.EndsAt(slip.To), .. keeper.Standbys.Select(s => Rivals(keeper.Clock, s))], // a feed may end there by mistake
            Related = [(slip.FromRoot.Device.Unit.Anchor, $"{slip.FromRoot.Name} runs free then"), (slip.ToRoot.Device.Unit.Anchor, $"{slip.ToRoot.Name} runs free then")],
        });
    }

    /// <summary>
    /// Whether another timekeeper is a member of a network that this one leads: then it is unclear who takes over.
    /// </summary>
    private static bool HasRival(Plan plan, ClockView view, ClockLoss loss) =>
        plan.Rig.Timekeepers.Exists(t => t != loss.Keeping && t.Acts.Meets(view.Acts) && loss.Led.Any(n => n.Members.Exists(m => m.Device.Outermost == t.Clock.Device.Outermost)));

    /// <summary>The key (see <see cref="Draft.Explains"/>) for two timekeepers of one side: each may be the other's standby.</summary>
    public static string Rivals(Clock one, Clock other) => one.Index < other.Index ? $"{one.Name} and {other.Name} both keep time" : $"{other.Name} and {one.Name} both keep time";

    // A standby that could not be resolved is missing from the list of clocks, and has its own finding.
    private static Anchor PlaceOf(Timekeeping keeper, int standby) =>
        keeper.Statement.At(keeper.Statement.Standbys.Length == keeper.Standbys.Length ? keeper.Statement.Standbys[standby].Span : keeper.Statement.Clock.Span);

    /// <summary>Why a standby does not take over, and the clocks that outrank it; null if it does.</summary>
    private static (FindingMessage Message, IEnumerable<Clock> Ahead)? WhyItFails(Plan plan, ClockView view, ClockLoss loss, Clock standby, bool isFirst)
    {
        var keeper = loss.Keeper;
        var unit = standby.Device.Outermost;
        if (unit == keeper.Device.Outermost) return (ClockFindings.StandbyIsLostToo(standby.Name, keeper.Name), []);
        if (view[standby].Fault == ClockFault.NoTime) return null; // there is a finding for that
        if (loss.View[standby] is { Root: null, Fault: ClockFault.NoTime }) return (ClockFindings.StandbyHasNoTime(standby.Name, keeper.Name, view[standby].SourceText), []);
        var isMember = false;
        foreach (var network in loss.Led)
        {
            if (network.Members.TrueForAll(m => m.Device.Outermost != unit) || loss.View.ElectionOf(network) is not { } election) continue;
            isMember = true;
            if (isFirst && WhyItDoesNotLead(plan, loss, standby, network, election) is { } why) return why;
        }
        return !isMember && !IsAnythingToBeJoined(plan) && IsElsewhere(plan, view, loss, standby) ? (ClockFindings.StandbyIsElsewhere(standby.Name, keeper.Name), []) : null;
    }

    private static (FindingMessage Message, IEnumerable<Clock> Ahead)? WhyItDoesNotLead(Plan plan, ClockLoss loss, Clock standby, Network network, ClockElection election)
    {
        var unit = standby.Device.Outermost;
        if (!election.Candidates.Any(c => c.Clock.Device.Outermost == unit))
        {
            var stuck = network.Members.Where(m => m.Device.Outermost == unit).Select(m => plan.Rig.ClockOf(m.Device, m.Socket)).FirstOrDefault(c => c is { Model.CanRunFree: false });
            return stuck is null
                ? (ClockFindings.StandbyNeverLeads(standby.Name, network.Symbol.Name), [])
                : (ClockFindings.StandbyHasNoTime(stuck.Name, loss.Keeper.Name, loss.View[stuck].SourceText), []);
        }
        if (election.Leader is { } leader)
            return leader.Device.Outermost == unit || loss.View[leader].Root?.Device.Outermost == unit || election.Why is not { } why
                ? null
                : (ClockFindings.StandbyComesLater(standby.Name, loss.Keeper.Name, network.Symbol.Name, leader.Name, why), [leader]);
        return election.First.Any(c => c.Clock.Device.Outermost == unit)
            ? (ClockFindings.LeftToIdentity(network.Symbol.Name, [.. election.First.Select(c => c.Clock.Name)], loss.Keeper.Name), election.First.Select(c => c.Clock))
            : null;
    }

    /// <summary>Whether a feed passes a port that is on no network: mending that may well connect the standby.</summary>
    private static bool IsAnythingToBeJoined(Plan plan) => plan.Signals.Bindings.Any(b => b.Findings.Any(d => d.Message.Kind == FormatFindings.NotJoined));

    /// <summary>Whether a standby does not take the timekeeper's time and, once that is lost, gives none to units of its side.</summary>
    private static bool IsElsewhere(Plan plan, ClockView view, ClockLoss loss, Clock standby) =>
        view[standby].Root is { } root && root != view[loss.Keeper].Root
        && plan.Rig.Clocks.All(c => c.Device.Outermost == standby.Device.Outermost
            || loss.View[c].Root != loss.View[standby].Root
            // What a timekeeper of another side leads is its own side.
            || (view[c].Root == root && c.Device.Outermost != loss.Keeper.Device.Outermost && plan.Rig.Timekeepers.Exists(t => t.Clock == standby && t.Acts.Meets(view.Acts))));
}
