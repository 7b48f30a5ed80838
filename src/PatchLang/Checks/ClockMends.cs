using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>What to write for clocks to run on one time: whom a clock could follow, with all that has to change along with it.</summary>
internal sealed class ClockMends(Plan plan, ClockView view)
{
    /// <summary>The ways to make a clock run on another's time: a source of its own list that leads there.</summary>
    public IEnumerable<FixDraft> Follow(Clock clock, Clock wanted)
    {
        foreach (var source in clock.Model.From)
        {
            if (source.Sort == ClockSourceSort.Internal || RootBy(clock, source) != wanted) continue;
            if (source.Sort == ClockSourceSort.Host && IsLedFromOutside(clock)) continue;
            if (MovesTo(clock, source) is not { } moves) yield break;
            var words = ClockBinder.Words(source);
            var title = $"make {clock.Name} follow {(source.Sort == ClockSourceSort.Host ? "its host" : words)}"
                + (moves.Count == 1 ? "" : $", and {moves[1].Clock.Name} follow {ClockBinder.Words(moves[1].Source)}");
            var edits = EditsOf(moves);
            // A clock that follows another keeps time no longer: the one it follows does.
            if (plan.Rig.Timekeepers.Find(t => moves.Exists(m => m.Clock == t.Clock) && t.Acts.Meets(view.Acts)) is { } keeper)
            {
                var isKept = plan.Rig.Timekeepers.Exists(t => t != keeper && t.Acts.Meets(view.Acts) && t.Clock.Device.Outermost == wanted.Device.Outermost);
                title += $", and {(isKept ? "keep" : "name")} {wanted.Name} as the timekeeper";
                edits.Add(isKept ? Without(keeper) : new EditDraft(keeper.Statement.At(keeper.Statement.Clock.Span), wanted.Name));
            }
            yield return new FixDraft(title, false, [.. edits]);
            yield break;
        }
    }

    /// <summary>Whether a clock runs on a network's time that another unit gives: left for its host's time it would run apart from that.</summary>
    private bool IsLedFromOutside(Clock clock) =>
        view[clock] is { Upstream: { } leader, Source.Socket.Format.Time: TimeTransfer.Shared } && leader.Device.Outermost != clock.Device.Outermost;

    /// <summary>The mend that leaves one of two timekeepers, if that one keeps time: the other follows it.</summary>
    public IEnumerable<FixDraft> KeepOne(Timekeeping keep, Timekeeping leave)
    {
        if (view[keep.Clock].Root is not { } root || root.Device.Outermost != keep.Clock.Device.Outermost) return [];
        if (view[leave.Clock].Root == root && leave.Clock != root) return [new FixDraft($"keep {keep.Clock.Name} as the timekeeper", false, [Without(leave)])];
        // A unit that is reached through a card alone takes its time through that.
        var cards = plan.Rig.Clocks.Where(c => c.Device.Host == leave.Clock.Device && view[c].Source.Sort == ClockSourceSort.Host);
        return cards.Prepend(leave.Clock).SelectMany(c => Follow(c, root)).Take(1);
    }

    /// <summary>
    /// What has to follow what for a clock to take its time from a source: a card that leaves its host takes the host along, or
    /// the two would run apart. Null where the host can't follow its card.
    /// </summary>
    private List<(Clock Clock, ClockSource Source)>? MovesTo(Clock clock, ClockSource source)
    {
        if (view[clock].Source.Sort != ClockSourceSort.Host || plan.Rig.ClockOf(clock.Device.Host!, null) is not { } host) return [(clock, source)];
        var toCard = host.Model.From.FirstOrDefault(s => s.Sort == ClockSourceSort.Slot && s.Slot == clock.Device.Slot);
        return toCard is null ? null : [(clock, source), (host, toCard)];
    }

    private List<EditDraft> EditsOf(List<(Clock Clock, ClockSource Source)> moves)
    {
        var edits = new List<EditDraft>();
        var added = "";
        foreach (var (clock, source) in moves)
        {
            var words = ClockBinder.Words(source);
            if (view[clock].Following is { } following) edits.Add(new EditDraft(following.Statement.At(following.Statement.Source.Span), words));
            else added += $"\nfollow {clock.Name} from {words}";
        }
        if (added.Length > 0) edits.Add(new EditDraft(Anchors.EndOf(moves[0].Clock.Device.Unit.Statement), added));
        return edits;
    }

    private static EditDraft Without(Timekeeping keeper) => new(Anchors.WholeOf(keeper.Statement.Statement), "");

    /// <summary>The root a clock would have if it took its time from another of its sources.</summary>
    private Clock? RootBy(Clock clock, ClockSource source)
    {
        var next = plan.Clocks.Upstream(view, clock, source);
        var steps = 0;
        // It may lead into a circle that the clock itself is no part of.
        for (var at = next; at is not null && steps++ < plan.Rig.Clocks.Length; at = view[at].Upstream)
        {
            if (at == clock) return null;
            if (view[at].IsFree) return at;
        }
        return null;
    }
}
