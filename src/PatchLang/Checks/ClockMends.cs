using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>Fixes that put clocks on one time: which clock could follow which, with every change that entails.</summary>
internal sealed class ClockMends(Plan plan, ClockView view)
{
    /// <summary>How many clocks of a circle are tried: a generated plan may have very large ones.</summary>
    private const int MostTried = 8;

    private const int MostOffered = 3;

    /// <summary>Fixes that make a clock run on another's time, by way of one of its own sources.</summary>
    public IEnumerable<FixDraft> Follow(Clock clock, Clock wanted)
    {
        foreach (var source in clock.Model.From)
        {
            if (source.Sort == ClockSourceSort.Internal || RootBy(clock, source) != wanted) continue;
            if (source.Sort == ClockSourceSort.Host && IsLedFromOutside(clock, wanted)) continue;
            if (MovesTo(clock, source) is not { } moves) yield break;
            var words = ClockBinder.Words(source);
            var row = moves.Count == 1 ? RowOf(clock) : null;
            // One statement sets the whole row, provided that the source has a root for each of its clocks.
            if (row is { } all && !all.Clocks.TrueForAll(c => RootBy(c, source) is not null)) row = null;
            var title = $"make {row?.Name ?? clock.Name} follow {(source.Sort == ClockSourceSort.Host ? "its host" : words)}"
                + (moves.Count == 1 ? "" : $", and {moves[1].Clock.Name} follow {ClockBinder.Words(moves[1].Source)}");
            var edits = EditsOf(moves, row?.Name);
            // A clock that follows another is no longer the timekeeper: the one it follows becomes that.
            if (plan.Rig.Timekeepers.Find(t => moves.Exists(m => m.Clock == t.Clock) && t.Acts.Meets(view.Acts)) is { } keeper)
            {
                var isKept = plan.Rig.Timekeepers.Exists(t => t != keeper && t.Acts.Meets(view.Acts) && t.Clock.Device.Outermost == wanted.Device.Outermost);
                title += $", and {(isKept ? "keep" : "name")} {wanted.Name} as the timekeeper";
                edits.AddRange(isKept ? [Without(keeper)] : Renamed(keeper, wanted));
            }
            yield return new FixDraft(title, false, [.. edits]);
            yield break;
        }
    }

    /// <summary>
    /// Whether a unit other than the host leads a network that the clock is on; following its host, the clock would then run apart from the network.
    /// </summary>
    private bool IsLedFromOutside(Clock clock, Clock wanted) =>
        clock.Model.From.Any(s => s.Socket is { Format.Time: TimeTransfer.Shared } && RootBy(clock, s) is { } led && led != wanted
            && plan.Clocks.Upstream(view, clock, s)!.Device.Outermost != clock.Device.Outermost);

    /// <summary>Ways to break a circle of clocks: one of them follows the timekeeper, or runs free and becomes the timekeeper.</summary>
    public IEnumerable<FixDraft> Break(IReadOnlyList<Clock> circle)
    {
        var tried = circle.Take(MostTried);
        var keepers = plan.Rig.Timekeepers.Where(t => t.Acts.Meets(view.Acts)).Take(MostTried).ToList();
        if (keepers.Find(k => circle.Contains(k.Clock)) is { } keeper) return keeper.Clock.Model.CanRunFree ? [RunFree(keeper.Clock, isNamed: true)] : [];
        if (keepers.Count > 0)
        {
            var roots = keepers.Select(k => view[k.Clock].Root).OfType<Clock>().Distinct().ToList();
            return tried.SelectMany(c => roots.SelectMany(r => Follow(c, r))).Take(MostOffered);
        }
        if (plan.Rig.HasBrokenTimekeepers || plan.Rig.Timekeepers.Count > 0) return [];
        // A unit's own clock is a likelier leader than that of one of its cards.
        return tried.Where(c => c.Model.CanRunFree).OrderBy(c => c.Device.Host is null ? 0 : 1).Take(MostOffered).Select(c => RunFree(c, isNamed: false));
    }

    private FixDraft RunFree(Clock clock, bool isNamed)
    {
        var internally = clock.Model.From.First(s => s.Sort == ClockSourceSort.Internal);
        var edits = EditsOf([(clock, internally)], row: null);
        if (isNamed) return new FixDraft($"let {clock.Name} run free, as the timekeeper", false, [.. edits]);
        edits.Add(new EditDraft(Anchors.EndOf(clock.Device.Unit.Statement), $"\ntimekeeper {clock.Name}"));
        return new FixDraft($"let {clock.Name} run free, and name it as the timekeeper", false, [.. edits]);
    }

    /// <summary>The fix that keeps one of two timekeepers, provided that it has its own time: the other follows it.</summary>
    public IEnumerable<FixDraft> KeepOne(Timekeeping keep, Timekeeping leave)
    {
        if (keep.Clock == leave.Clock) return [new FixDraft("take the second one out", false, [Without(leave)])];
        return new ClockMends(plan, plan.Clocks.Unnamed(view, leave)).Keep(keep, leave);
    }

    /// <summary>The fix that takes a timekeeper out, in a view that leaves it out: it follows the one that is kept.</summary>
    private IEnumerable<FixDraft> Keep(Timekeeping keep, Timekeeping leave)
    {
        if (view[keep.Clock].Root is not { } root || root.Device.Outermost != keep.Clock.Device.Outermost || RunsOnItsHost(keep.Clock)) return [];
        if (view[leave.Clock].Root == root) return [new FixDraft($"keep {keep.Clock.Name} as the timekeeper", false, [Without(leave)])];
        // A unit that is reached only through a card takes its time from that card.
        var cards = plan.Rig.Clocks.Where(c => c.Device.Host == leave.Clock.Device && view[c].Source.Sort == ClockSourceSort.Host);
        return cards.Prepend(leave.Clock).SelectMany(c => Follow(c, root)).Take(1);
    }

    /// <summary>Whether a clock is that of a card which takes its host's time: then the host is the one to name.</summary>
    public bool RunsOnItsHost(Clock clock) => view[clock].Source.Sort == ClockSourceSort.Host;

    /// <summary>The fix that names another clock as the timekeeper, instead of one that follows it.</summary>
    public static FixDraft Name(Timekeeping keeper, Clock wanted) => new($"name {wanted.Name} as the timekeeper", false, [.. Renamed(keeper, wanted)]);

    /// <summary>
    /// The fix that names a timekeeper for a side that has none. Where the side has one in other acts, that one stays for all of them, or the
    /// new one is named for the others.
    /// </summary>
    public FixDraft Name(Clock clock, List<Clock> side)
    {
        var others = plan.Rig.Timekeepers.FindAll(t => side.Exists(c => c.Device.Outermost == t.Clock.Device.Outermost));
        if (others is [{ Statement.During: { } during } only] && only.Clock.Device.Outermost == clock.Device.Outermost)
            return new FixDraft($"let {only.Clock.Name} be the timekeeper in all acts", false, Anchors.WithBlanksBefore(only.Statement.At(during.Span)), "");
        return new FixDraft($"name {clock.Name} as the timekeeper", false, Anchors.EndOf(clock.Device.Unit.Statement), $"\ntimekeeper {clock.Name}{InOtherActs(others.Select(t => t.Acts))}");
    }

    /// <summary>The words that limit a new statement to the acts in which none of some others holds; empty where there are no others.</summary>
    private string InOtherActs(IEnumerable<ActSet> taken) =>
        taken.Aggregate(ActSet.None, (all, each) => all | each) is { IsEmpty: false } all ? $" during {plan.Foundation.Names(plan.Foundation.AllActs - all)}" : "";

    /// <summary>
    /// The sources to set for a clock to take its time from a given one. A card that stops following its host takes the host along, as
    /// the two would otherwise run apart. Null where the host can't follow its card.
    /// </summary>
    private List<(Clock Clock, ClockSource Source)>? MovesTo(Clock clock, ClockSource source)
    {
        if (view[clock].Source.Sort != ClockSourceSort.Host || plan.Rig.ClockOf(clock.Device.Host!, null) is not { } host) return [(clock, source)];
        if (view[host].Source is { Sort: ClockSourceSort.Slot } its && its.Slot == clock.Device.Slot) return [(clock, source)];
        var toCard = host.Model.From.FirstOrDefault(s => s.Sort == ClockSourceSort.Slot && s.Slot == clock.Device.Slot);
        return toCard is null ? null : [(clock, source), (host, toCard)];
    }

    /// <summary>
    /// A key for the one statement that sets the source of several like clocks, or that is missing for them; null for a clock on its own.
    /// </summary>
    public string? LineOf(Clock clock) =>
        RowOf(clock) is not { } row ? null
        : view[clock].Following is { } following ? $"line {plan.PlaceOf(following.Statement.Statement)} of {row.Name}" : $"no line of {row.Name}";

    /// <summary>The like clocks whose source one statement sets, or that all run free without one; null for a clock on its own.</summary>
    private (string Name, List<Clock> Clocks)? RowOf(Clock clock)
    {
        if (view[clock].Following is { Statement: var line })
        {
            var told = plan.Rig.Followings.Where(f => f.Statement == line).Select(f => f.Clock).Distinct().ToList();
            return told.Count < 2 ? null : (line.Statement.Text.Span.Slice(line.Clock.Span.Start, line.Clock.Span.Length).ToString(), told);
        }
        var (unit, one) = (clock.Device.Unit, clock.Device.Outermost.Name);
        var alike = plan.Rig.Clocks.Where(c => c.Device.Unit == unit && c.Device.Slot == clock.Device.Slot && c.Model == clock.Model).ToList();
        return alike.Count < 2 || !alike.TrueForAll(c => view[c] is { Following: null, IsFree: true }) ? null : (unit.Name + clock.Name[one.Length..], alike);
    }

    private List<EditDraft> EditsOf(List<(Clock Clock, ClockSource Source)> moves, string? row)
    {
        var edits = new List<EditDraft>();
        var added = "";
        foreach (var (clock, source) in moves)
        {
            var words = ClockBinder.Words(source);
            var others = plan.Rig.Followings.FindAll(f => f.Clock == clock);
            if (view[clock].Following is { } following)
            {
                edits.Add(new EditDraft(following.Statement.At(following.Statement.Source.Span), words));
                // In the other acts it runs free by its factory default, as it does here.
                if (view[clock].IsFree && others is [{ Statement.During: { } limit }] && clock.Model.From[0].Sort == ClockSourceSort.Internal)
                    edits.Add(new EditDraft(Anchors.WithBlanksBefore(following.Statement.At(limit.Span)), ""));
                continue;
            }
            // What it follows in other acts: the one line then holds in all of them, or the new one in the others.
            if (others is [{ Statement.During: { } during } only] && ClockBinder.Words(only.Source) == words)
                edits.Add(new EditDraft(Anchors.WithBlanksBefore(only.Statement.At(during.Span)), ""));
            else added += $"\nfollow {row ?? clock.Name} from {words}{InOtherActs(others.Select(f => f.Acts))}";
        }
        if (added.Length > 0) edits.Add(new EditDraft(Anchors.EndOf(moves[0].Clock.Device.Unit.Statement), added));
        return edits;
    }

    /// <summary>Edits that name another timekeeper and take it off the list of standbys.</summary>
    private static IEnumerable<EditDraft> Renamed(Timekeeping keeper, Clock wanted)
    {
        var statement = keeper.Statement;
        yield return new EditDraft(statement.At(statement.Clock.Span), wanted.Name);
        if (keeper.Standbys.Length != statement.Standbys.Length) yield break; // one of them could not be resolved
        var left = statement.Standbys.Where((_, i) => keeper.Standbys[i].Device.Outermost != wanted.Device.Outermost).ToList();
        if (left.Count == statement.Standbys.Length) yield break;
        var text = statement.Statement.Text;
        var (start, end) = (statement.Standbys[0].Span.Start, statement.Standbys[^1].Span.End);
        if (left.Count > 0)
        {
            yield return new EditDraft(statement.At(TextSpan.FromTo(start, end)), string.Join(", ", left.Select(l => text[l.Span.Start..l.Span.End].ToString())));
            yield break;
        }
        start = text.Span[..start].LastIndexOf('{');
        end += text.Span[end..].IndexOf('}') + 1;
        yield return new EditDraft(Anchors.WithBlanksBefore(statement.At(TextSpan.FromTo(start, end))), "");
    }

    private static EditDraft Without(Timekeeping keeper) => new(Anchors.WholeOf(keeper.Statement.Statement), "");

    /// <summary>The root a clock would have if it took its time from another of its sources.</summary>
    private Clock? RootBy(Clock clock, ClockSource source)
    {
        var next = plan.Clocks.Upstream(view, clock, source);
        var steps = 0;
        // The source may lead into a circle that the clock is not part of.
        for (var at = next; at is not null && steps++ < plan.Rig.Clocks.Length; at = view[at].Upstream)
        {
            if (at == clock) return null;
            if (view[at].IsFree) return at;
        }
        return null;
    }
}
