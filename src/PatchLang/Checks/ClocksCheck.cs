using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>
/// Every digital hop has one clock at both ends, or a resampler between; every clock has a root; each side of the rig has
/// one timekeeper. A border is a cable, a network's member or a slot: it is one finding, however many channels cross it.
/// Gives PL0501 to PL0505, PL0507 and PL0510.
/// </summary>
internal static class ClocksCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var drafts = new List<Draft>();
        foreach (var view in plan.Clocks.Views) new Work(plan, view, drafts).Run();
        // What holds in several acts is said once, with all of them.
        foreach (var same in drafts.GroupBy(d => (d.Message.Kind, d.At)))
        {
            var acts = same.Aggregate(ActSet.None, (all, d) => all | d.Acts);
            var first = same.First();
            bag.Add(first with { Acts = acts, Message = first.Message with { Text = first.Message.Text + plan.During(acts) } });
        }
    }

    /// <summary>A border between two clocks: where it is, and what either side could follow instead.</summary>
    private sealed record Border(Clock Left, Clock Right, string LeftName, string RightName, Anchor At, double Rate);

    private sealed class Work(Plan plan, ClockView view, List<Draft> drafts)
    {
        private readonly int[] sides = [.. Enumerable.Range(0, plan.Rig.Clocks.Length)];
        private readonly HashSet<Clock> involved = [];
        private readonly HashSet<Clock> inConflict = [];
        private readonly HashSet<Network> usedNetworks = [];
        private readonly Dictionary<object, Border> borders = [];

        public void Run()
        {
            Walk();
            foreach (var border in borders.Values)
            {
                Join(border.Left, border.Right);
                involved.Add(border.Left);
                involved.Add(border.Right);
            }
            foreach (var border in borders.Values) SayConflict(border);
            SayFaults();
            SayTimekeepers();
        }

        /// <summary>Looks at every used digital hop, and keeps one border for each place where two clocks meet.</summary>
        private void Walk()
        {
            var graph = plan.Graph;
            for (var edge = 0; edge < graph.EdgeCount; edge++)
            {
                var hop = graph.HopOf(edge);
                if (!graph.ActsOf(edge).Meets(view.Acts)) continue;
                var (from, to) = (plan.Rig.PointOf(graph.FromOf(edge)), plan.Rig.PointOf(graph.ToOf(edge)));
                if (hop.IsLink) Link(edge, hop, from, to);
                else if (from.Device != to.Device) Slot(from.Device, to.Device, from, to);
            }
        }

        private void Link(int edge, Hop hop, GraphPoint from, GraphPoint to)
        {
            if (from.Socket.Format is not { IsDigital: true } || to.Socket.Resamples) return;
            if (hop.Network is { } network) usedNetworks.Add(network);
            if (plan.Rig.ClockOf(from.Device, from.Socket) is not { } left || plan.Rig.ClockOf(to.Device, to.Socket) is not { } right || left == right) return;
            Join(left, right);
            involved.Add(left);
            involved.Add(right);
            if (from.Socket.Rate != to.Socket.Rate || !Differ(left, right)) return;
            if (hop.Network is { } over)
            {
                // The member that is off the network's time is the border; where nobody leads, the pair is.
                var leader = view.LeaderOf(over);
                var off = leader is null ? null : Differ(leader, right) ? right : left;
                object key = off is null ? (over, Pair(left, right)) : (over, off);
                if (borders.ContainsKey(key)) return;
                var at = Member(over, off == left ? from : to)?.Anchor ?? plan.AnchorOf(edge);
                borders.Add(key, new Border(left, right, $"{from.Device.Name}.{from.Socket.Name}", $"{to.Device.Name}.{to.Socket.Name}", at, from.Socket.Rate));
                return;
            }
            object pair = (from.Device, from.Socket, to.Device, to.Socket);
            if (borders.ContainsKey(pair)) return;
            var cable = hop.Kind == HopKind.Cable ? plan.Rig.CablesFrom.GetValueOrDefault(from.Connector)?.Find(c => c.Acts.Meets(view.Acts)) ?? plan.Rig.CablesTo.GetValueOrDefault(from.Connector with { Side = Side.In })?.Find(c => c.Acts.Meets(view.Acts)) : null;
            var where = cable is null ? plan.AnchorOf(edge) : cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span));
            borders.Add(pair, new Border(left, right, from.Connector.ToString(), to.Connector.ToString(), where, from.Socket.Rate));
        }

        /// <summary>Between a unit and the card in it.</summary>
        private void Slot(Device left, Device right, GraphPoint from, GraphPoint to)
        {
            var card = left.Host is null ? right : left;
            if (plan.Rig.ClockOf(left, from.Socket) is not { } one || plan.Rig.ClockOf(right, to.Socket) is not { } other || one == other) return;
            if (left == card && from.Side == Side.In && from.Socket.Resamples) return;
            Join(one, other);
            involved.Add(one);
            involved.Add(other);
            if (!Differ(one, other) || card.Host is null || borders.ContainsKey(card)) return;
            var fitted = card.Unit.Cards.FirstOrDefault(c => c.Slot == card.Slot!.Name);
            var at = fitted is null ? card.Unit.Anchor : card.Unit.At(fitted.SlotSpan.To(fitted.Span));
            var host = left == card ? right : left;
            borders.Add(card, new Border(plan.Rig.ClockOf(host, null) ?? one, plan.Rig.ClockOf(card, null) ?? other, host.Name, card.Name, at, card.Model.Rate));
        }

        private static PlanPoint? Member(Network network, GraphPoint point)
        {
            foreach (var member in network.Members)
                if (member.Device == point.Device && member.Socket == point.Socket) return member.Where;
            return null;
        }

        private static (int, int) Pair(Clock left, Clock right) => left.Index < right.Index ? (left.Index, right.Index) : (right.Index, left.Index);

        private bool Differ(Clock left, Clock right) =>
            view[left].Root is { } one && view[right].Root is { } other && one != other;

        // ---- Sides of the rig: clocks that are joined without a resampler

        private int SideOf(int clock)
        {
            while (sides[clock] != clock) clock = sides[clock] = sides[sides[clock]];
            return clock;
        }

        private void Join(Clock left, Clock right) => sides[SideOf(left.Index)] = SideOf(right.Index);

        // ---- Findings

        private void SayConflict(Border border)
        {
            inConflict.Add(border.Left);
            inConflict.Add(border.Right);
            var (left, right) = (view[border.Left].Root!, view[border.Right].Root!);
            var slip = ClockSlip.Describe(border.Rate, left.Model.AccuracyPpm, right.Model.AccuracyPpm);
            drafts.Add(new Draft(
                ClockFindings.TwoClocks(border.LeftName, left.Name, border.RightName, right.Name, border.Rate, slip), border.At)
            {
                Acts = view.Acts,
                Related = [.. Where(border.Left), .. Where(border.Right)],
                Fixes = [.. FollowFixes(border.Right, left), .. FollowFixes(border.Left, right)],
            });
        }

        private IEnumerable<(Anchor, string)> Where(Clock clock)
        {
            var state = view[clock];
            var says = state.IsFree ? $"{clock.Name} runs free" : $"{clock.Name} follows {state.SourceText}";
            yield return state.Following is { } following
                ? (following.Statement.At(following.Statement.Source.Span), says)
                : (clock.Device.Unit.Anchor, says + ", by its factory default");
        }

        /// <summary>The ways to make a clock run on another's time: a source of its own list that leads there.</summary>
        private IEnumerable<FixDraft> FollowFixes(Clock clock, Clock wanted)
        {
            foreach (var source in clock.Model.From)
            {
                if (source.Sort == ClockSourceSort.Internal || RootBy(clock, source) != wanted) continue;
                var words = ClockBinder.Words(source);
                var title = $"make {clock.Name} follow {(source.Sort == ClockSourceSort.Host ? "its host" : words)}";
                var follow = view[clock].Following is { } following
                    ? new EditDraft(following.Statement.At(following.Statement.Source.Span), words)
                    : new EditDraft(Anchors.EndOf(clock.Device.Unit.Statement), $"\nfollow {clock.Name} from {words}");
                // A clock that follows another unit keeps time no longer: the one it follows does.
                var keeper = clock.Device.Outermost == wanted.Device.Outermost ? null : plan.Rig.Timekeepers.Find(t => t.Clock == clock && t.Acts.Meets(view.Acts));
                yield return keeper is null
                    ? new FixDraft(title, false, [follow])
                    : new FixDraft($"{title}, and name {wanted.Name} as the timekeeper", false, [follow, new EditDraft(keeper.Statement.At(keeper.Statement.Clock.Span), wanted.Name)]);
                yield break;
            }
        }

        /// <summary>The root a clock would have if it took its time from another of its sources.</summary>
        private Clock? RootBy(Clock clock, ClockSource source)
        {
            var next = plan.Clocks.Upstream(plan.Rig, view, clock, source);
            for (var at = next; at is not null; at = view[at].Upstream)
            {
                if (at == clock) return null;
                if (view[at].IsFree) return at;
            }
            return null;
        }

        private void SayFaults()
        {
            var said = new HashSet<Clock>();
            foreach (var state in view.States)
            {
                if (state.Fault == ClockFault.Loop && IsInLoop(state.Clock) && said.Add(state.Clock))
                {
                    var loop = Loop(state.Clock);
                    said.UnionWith(loop);
                    var first = loop.Select(c => (Clock: c, At: AtClock(c))).Aggregate((a, b) => plan.Compare(a.At, b.At) >= 0 ? a : b);
                    drafts.Add(new Draft(ClockFindings.InCircle([.. loop.Select(c => c.Name)]), first.At)
                    {
                        Acts = view.Acts,
                        Related = [.. loop.Where(c => c != first.Clock).Take(4).SelectMany(Where)],
                    });
                }
                // A default that nobody asked for and nothing uses is no mistake.
                if (state.Fault == ClockFault.NoTime && !state.IsFree && state.Upstream is null && (involved.Contains(state.Clock) || IsNeverDriven(state)))
                    drafts.Add(new Draft(ClockFindings.BringsNoTime(state.Clock.Name, state.SourceText, Why(state)), AtClock(state.Clock)) { Acts = view.Acts });
            }
        }

        /// <summary>Whether a source that somebody chose brings no time in any act in which it was chosen.</summary>
        private bool IsNeverDriven(ClockState state) =>
            state.Following is { } following && plan.Clocks.Views.All(v => !v.Acts.Meets(following.Acts) || v[state.Clock] is { Fault: ClockFault.NoTime, Upstream: null });

        private static string Why(ClockState state)
        {
            var source = state.Source;
            if (source.Sort == ClockSourceSort.Slot)
                return state.Clock.Device.Cards[source.Slot!.Index] is null ? "nothing is fitted there" : "the card there has no clock of its own";
            if (source.Sort == ClockSourceSort.Host) return "its host has no clock";
            if (source.Socket!.Format is { Time: TimeTransfer.None } format) return $"{format.Name} carries no time";
            if (source.Socket.Format is { Time: TimeTransfer.Shared }) return "it is joined to no network";
            return "nothing that has a clock is plugged in there";
        }

        private Anchor AtClock(Clock clock) =>
            view[clock].Following is { } following ? following.Statement.At(following.Statement.Source.Span) : clock.Device.Unit.Anchor;

        private bool IsInLoop(Clock clock)
        {
            var at = view[clock].Upstream;
            for (var steps = 0; at is not null && steps <= plan.Rig.Clocks.Length; steps++)
            {
                if (at == clock) return true;
                at = view[at].Upstream;
            }
            return false;
        }

        private List<Clock> Loop(Clock clock)
        {
            var loop = new List<Clock> { clock };
            for (var at = view[clock].Upstream!; at != clock; at = view[at].Upstream!) loop.Add(at);
            return loop;
        }

        private void SayTimekeepers()
        {
            foreach (var state in view.States)
                if (state.Upstream is { } upstream && involved.Contains(state.Clock))
                {
                    Join(state.Clock, upstream);
                    involved.Add(upstream);
                }
            var keepers = plan.Rig.Timekeepers.Where(t => t.Acts.Meets(view.Acts)).ToList();
            foreach (var keeper in keepers) JoinUnit(keeper.Clock);
            foreach (var side in involved.GroupBy(c => SideOf(c.Index)))
            {
                var clocks = side.OrderBy(c => c.Index).ToList();
                var here = keepers.Where(k => SideOf(k.Clock.Index) == side.Key).OrderBy(k => plan.PlaceOf(k.Statement.Statement)).ToList();
                if (here.Count > 1)
                {
                    drafts.Add(new Draft(ClockFindings.TwoKeepers(here[0].Clock.Name, here[1].Clock.Name), here[1].Statement.At(here[1].Statement.Clock.Span))
                    {
                        Acts = view.Acts,
                        Related = [(here[0].Statement.At(here[0].Statement.Clock.Span), "the other timekeeper")],
                    });
                    continue;
                }
                if (clocks.Exists(inConflict.Contains) || clocks.Exists(c => view[c].Fault is ClockFault.Loop or ClockFault.NoTime)) continue;
                if (here.Count == 1) SayKeeper(here[0], clocks);
                else if (clocks.Count > 1 && !plan.Rig.HasBrokenTimekeepers && !clocks.Exists(IsUnknown)) SayNone(clocks);
            }
        }

        /// <summary>Whether a clock hangs on something that has a finding of its own.</summary>
        private bool IsUnknown(Clock clock) =>
            plan.Rig.UnknownClocks.Contains(clock)
            || (view[clock] is { Fault: ClockFault.Undecided, Source.Socket: { } socket } && (plan.Rig.BrokenEnds.Contains((clock.Device, socket)) || plan.Rig.NetworkOf(clock.Device, socket, view.Acts) is { HasUnknownMembers: true }));

        /// <summary>A unit and its cards are one side where the card runs on its host's time.</summary>
        private void JoinUnit(Clock clock)
        {
            foreach (var other in plan.Rig.Clocks)
                if (other.Device.Outermost == clock.Device.Outermost && view[other].Root is { } root && root == view[clock].Root) Join(other, clock);
        }

        private void SayKeeper(Timekeeping keeper, List<Clock> clocks)
        {
            var state = view[keeper.Clock];
            // A card of the same unit may be what keeps its time: nobody would call that another unit.
            if (state.Root is { } root && root.Device.Outermost != keeper.Clock.Device.Outermost)
            {
                drafts.Add(new Draft(ClockFindings.KeeperFollows(keeper.Clock.Name, state.SourceText, root.Name), keeper.Statement.At(keeper.Statement.Clock.Span))
                {
                    Acts = view.Acts,
                    Related = [.. Where(keeper.Clock)],
                });
                return;
            }
            foreach (var network in usedNetworks)
                if (view.LeaderOf(network) is { } leader && clocks.Contains(leader) && view[leader].Root is { } led && led.Device.Outermost != keeper.Clock.Device.Outermost)
                    SayOtherLeader(network, leader, led, keeper);
        }

        /// <summary>Whether a unit gives time, over a declared cable, to a unit of one of some clocks: then it was meant to lead them.</summary>
        private bool IsCabledTo(Device keeper, List<Clock> clocks) =>
            plan.Rig.Cables.Any(c => c.Acts.Meets(view.Acts) && c.Format.IsDigital && !c.To.Socket.Resamples
                && c.From.Device.Outermost == keeper && clocks.Exists(o => o.Device.Outermost == c.To.Device.Outermost));

        private void SayOtherLeader(Network network, Clock leader, Clock root, Timekeeping keeper) =>
            drafts.Add(new Draft(ClockFindings.LedByAnother(network.Symbol.Name, leader.Name, root.Name, keeper.Clock.Name), network.Symbol.Anchor)
            {
                Acts = view.Acts,
                Related = [(keeper.Statement.At(keeper.Statement.Clock.Span), "the timekeeper"), .. Where(leader)],
            });

        private void SayNone(List<Clock> clocks)
        {
            var network = usedNetworks.FirstOrDefault(n => view.LeaderOf(n) is { } leader && clocks.Contains(leader));
            var roots = clocks.Select(c => view[c].Root).OfType<Clock>().Distinct().ToList();
            var elsewhere = plan.Rig.Timekeepers.FirstOrDefault(t => t.Acts.Meets(view.Acts) && IsCabledTo(t.Clock.Device.Outermost, clocks));
            if (network is not null && elsewhere is not null && view.LeaderOf(network) is { } led && view[led].Root is { } ledBy)
            {
                SayOtherLeader(network, led, ledBy, elsewhere);
                return;
            }
            var root = roots.Count == 1 ? roots[0] : null;
            var at = root?.Device.Unit ?? clocks[0].Device.Unit;
            drafts.Add(new Draft(ClockFindings.NobodyKeepsTime([.. clocks.Select(c => c.Name)], root?.Name), at.Anchor)
            {
                Acts = view.Acts,
                Fixes = root is null ? [] : [new FixDraft($"name {root.Name} as the timekeeper", false, Anchors.EndOf(at.Statement), $"\ntimekeeper {root.Name}")],
            });
        }
    }
}
