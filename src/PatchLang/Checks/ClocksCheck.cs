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
/// Gives PL0501 to PL0505, PL0507, PL0510 and PL0511.
/// </summary>
internal static class ClocksCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var drafts = new List<Draft>();
        foreach (var view in plan.Clocks.Views) new Work(plan, view, drafts).Run();
        ActsOfDrafts.AddTogether(plan, drafts, bag);
    }

    /// <summary>A border between two clocks: where it is, and what either side could follow instead.</summary>
    private sealed record Border(Clock Left, Clock Right, string LeftName, string RightName, Anchor At, Socket Taken)
    {
        public double Rate => Taken.Rate;
    }

    private sealed class Work(Plan plan, ClockView view, List<Draft> drafts)
    {
        private readonly int[] sides = [.. Enumerable.Range(0, plan.Rig.Clocks.Length)];
        private readonly HashSet<Clock> involved = [];
        private readonly HashSet<Clock> inConflict = [];
        private readonly HashSet<int> sidesOfTwo = [];
        private readonly ClockCrossings crossings = plan.Clocks.Crossings(view);
        private readonly Dictionary<object, Border> borders = [];

        public void Run()
        {
            foreach (var crossing in crossings.All)
            {
                Join(crossing.Left, crossing.Right);
                involved.Add(crossing.Left);
                involved.Add(crossing.Right);
                if (Differ(crossing.Left, crossing.Right)) AddBorder(crossing);
            }
            SayFaults();
            JoinFollowers();
            SayLostElections();
            SayTwoKeepers();
            LeaveToSlots();
            foreach (var border in borders.Values) SayConflict(border);
            SayKeepers();
            SayUndecided();
        }

        /// <summary>Keeps one border for each place where two clocks meet.</summary>
        private void AddBorder(ClockCrossing crossing)
        {
            var (from, to, left, right) = (crossing.From, crossing.To, crossing.Left, crossing.Right);
            var hop = plan.Graph.HopOf(crossing.Edge);
            if (!hop.IsLink)
            {
                AddSlot(crossing);
                return;
            }
            if (from.Socket.Rate != to.Socket.Rate) return;
            if (hop.Network is { } over)
            {
                // The member that is off the network's time is the border; where nobody leads, the pair is.
                var leader = view.LeaderOf(over);
                var off = leader is null ? null : Differ(leader, right) ? right : left;
                object key = off is null ? (over, Pair(left, right)) : (over, off);
                if (borders.ContainsKey(key)) return;
                var at = Member(over, off == left ? from : to)?.Anchor ?? plan.AnchorOf(crossing.Edge);
                borders.Add(key, new Border(left, right, $"{from.Device.Name}.{from.Socket.Name}", $"{to.Device.Name}.{to.Socket.Name}", at, to.Socket));
                return;
            }
            var cable = hop.Kind == HopKind.Cable ? plan.Rig.CablesFrom.GetValueOrDefault(from.Connector)?.Find(c => c.Acts.Meets(view.Acts)) ?? plan.Rig.CablesTo.GetValueOrDefault(from.Connector with { Side = Side.In })?.Find(c => c.Acts.Meets(view.Acts)) : null;
            var where = cable is null ? plan.AnchorOf(crossing.Edge) : cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span));
            borders.Add(crossing.Key, new Border(left, right, from.Connector.ToString(), to.Connector.ToString(), where, to.Socket));
        }

        /// <summary>Between a unit and the card in it.</summary>
        private void AddSlot(ClockCrossing crossing)
        {
            var (left, right) = (crossing.From.Device, crossing.To.Device);
            var card = left.Host is null ? right : left;
            if (card.Host is null || borders.ContainsKey(card)) return;
            var fitted = card.Unit.Cards.FirstOrDefault(c => c.Slot == card.Slot!.Name);
            var at = fitted is null ? card.Unit.Anchor : card.Unit.At(fitted.SlotSpan.To(fitted.Span));
            var host = left == card ? right : left;
            borders.Add(card, new Border(plan.Rig.ClockOf(host, null) ?? crossing.Left, plan.Rig.ClockOf(card, null) ?? crossing.Right, host.Name, card.Name, at, crossing.To.Socket));
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
            var slip = SlipAt(border);
            drafts.Add(new Draft(
                ClockFindings.TwoClocks(border.LeftName, left.Name, border.RightName, right.Name, border.Rate, slip), border.At)
            {
                Acts = view.Acts,
                Related = [.. Where(border.Left), .. Where(border.Right), .. Undeclared(left), .. Undeclared(right)],
                Fixes = [.. FollowFixes(border.Right, left), .. FollowFixes(border.Left, right)],
            });
        }

        private string SlipAt(Border border) =>
            ClockSlip.Describe(border.Rate, view[border.Left].Root!.Model.AccuracyPpm, view[border.Right].Root!.Model.AccuracyPpm, border.Taken.SlipBlock);

        /// <summary>The declaration that would settle how far off a clock may be.</summary>
        private static IEnumerable<(Anchor, string)> Undeclared(Clock clock)
        {
            if (clock.Model.AccuracyPpm is null)
                yield return (clock.Device.Model.Gear.Anchor, $"`clock {clock.Model.Name}` of {clock.Device.Model.Gear.Name} states no `accuracy`");
        }

        /// <summary>
        /// A network that is to run on a timekeeper's time, and is led by another: what slips between the two follows from that, and is
        /// said there.
        /// </summary>
        private void SayLostElections()
        {
            foreach (var network in crossings.UsedNetworks)
            {
                if (view.ElectionOf(network) is not { Keeper: { } keeper, Leader: { } leader }) continue;
                if (view[leader].Root is not { } led || view[keeper.Clock].Root is not { } kept || led == kept || led.Device.Outermost == keeper.Clock.Device.Outermost) continue;
                var between = borders.Where(b => RootsOf(b.Value) == Pair(led, kept)).ToList();
                if (between.Count == 0) continue; // one of the sides says it
                foreach (var (key, border) in between) Remove(key, border);
                SayOtherLeader(network, leader, led, keeper, SlipAt(between[0].Value));
            }
        }

        /// <summary>Where a unit and its card run apart, whatever else slips between the same two clocks follows from that, and is mended with it.</summary>
        private void LeaveToSlots()
        {
            var inUnits = borders.Where(b => b.Key is Device).Select(b => RootsOf(b.Value)).ToHashSet();
            if (inUnits.Count == 0) return;
            foreach (var (key, border) in borders.Where(b => b.Key is not Device && inUnits.Contains(RootsOf(b.Value))).ToList()) Remove(key, border);
        }

        private void Remove(object key, Border border)
        {
            borders.Remove(key);
            inConflict.Add(border.Left);
            inConflict.Add(border.Right);
        }

        private (int, int) RootsOf(Border border) => Pair(view[border.Left].Root!, view[border.Right].Root!);

        /// <summary>A network that a timekeeper is to lead, and at which another announces just the same.</summary>
        private void SayUndecided()
        {
            foreach (var network in crossings.UsedNetworks)
                if (view.ElectionOf(network) is { Keeper: { } keeper, Leader: null, First: { Length: > 1 } first })
                    drafts.Add(new Draft(ClockFindings.LeftToIdentity(network.Symbol.Name, [.. first.Select(c => c.Clock.Name)], null), network.Symbol.Anchor)
                    {
                        Acts = view.Acts,
                        Related = [(keeper.Statement.At(keeper.Statement.Clock.Span), "the timekeeper")],
                        Fixes = WrittenPriorities.Without(first.Select(c => c.Clock)),
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
                if (MovesTo(clock, source) is not { } moves) yield break;
                var words = ClockBinder.Words(source);
                var title = $"make {clock.Name} follow {(source.Sort == ClockSourceSort.Host ? "its host" : words)}"
                    + (moves.Count == 1 ? "" : $", and {moves[1].Clock.Name} follow {ClockBinder.Words(moves[1].Source)}");
                var edits = Follow(moves);
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

        private List<EditDraft> Follow(List<(Clock Clock, ClockSource Source)> moves)
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

        private void SayFaults()
        {
            var said = new HashSet<Clock>();
            var inLoops = FindLoops();
            foreach (var state in view.States)
            {
                if (state.Fault == ClockFault.Loop && inLoops[state.Clock.Index] && said.Add(state.Clock))
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
                    drafts.Add(new Draft(ClockFindings.BringsNoTime(state.Clock.Name, state.SourceText, Why(state)), AtClock(state.Clock))
                    {
                        Acts = view.Acts,
                        FollowsFrom = state.Source.Socket is { } socket ? NothingThere($"{state.Clock.Device.Name}.{socket.Name}") : [],
                    });
            }
        }

        /// <summary>A signal that should come in there, and can't, has a finding that says why no time comes, either.</summary>
        private static ImmutableArray<string> NothingThere(string port) => [UnjoinedPorts.NoNetworkAt(port), MissingCables.Into(port)];

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

        /// <summary>Which clocks follow themselves in the end, by their numbers: each chain is walked up to where one was walked before.</summary>
        private bool[] FindLoops()
        {
            var isInLoop = new bool[view.States.Length];
            var walkedBy = new int[isInLoop.Length];
            foreach (var state in view.States)
            {
                if (state.Fault != ClockFault.Loop) continue;
                var walk = state.Clock.Index + 1;
                var at = state.Clock;
                for (; at is not null && walkedBy[at.Index] == 0; at = view[at].Upstream) walkedBy[at.Index] = walk;
                // Back where this walk was: it went round once.
                if (at is not null && walkedBy[at.Index] == walk)
                    for (; at is not null && !isInLoop[at.Index]; at = view[at].Upstream) isInLoop[at.Index] = true;
            }
            return isInLoop;
        }

        private List<Clock> Loop(Clock clock)
        {
            var loop = new List<Clock> { clock };
            for (var at = view[clock].Upstream!; at != clock; at = view[at].Upstream!) loop.Add(at);
            return loop;
        }

        /// <summary>Puts what follows a clock, and what the timekeepers run in, on their sides.</summary>
        private void JoinFollowers()
        {
            foreach (var state in view.States)
                if (state.Upstream is { } upstream && involved.Contains(state.Clock))
                {
                    Join(state.Clock, upstream);
                    involved.Add(upstream);
                }
            foreach (var keeper in Keepers) JoinUnit(keeper.Clock);
        }

        private IEnumerable<Timekeeping> Keepers => plan.Rig.Timekeepers.Where(t => t.Acts.Meets(view.Acts)).OrderBy(k => plan.PlaceOf(k.Statement.Statement));

        /// <summary>Two timekeepers on one side; what slips between the two follows from that.</summary>
        private void SayTwoKeepers()
        {
            foreach (var side in Keepers.GroupBy(k => SideOf(k.Clock.Index)))
            {
                if (side.ToList() is not [var first, var second, ..] || !involved.Any(c => SideOf(c.Index) == side.Key)) continue;
                sidesOfTwo.Add(side.Key);
                string? slip = null;
                if (view[first.Clock].Root is { } one && view[second.Clock].Root is { } other && one != other)
                    foreach (var (key, border) in borders.Where(b => RootsOf(b.Value) == Pair(one, other)).ToList())
                    {
                        slip ??= SlipAt(border);
                        Remove(key, border);
                    }
                drafts.Add(new Draft(ClockFindings.TwoKeepers(first.Clock.Name, second.Clock.Name, slip), second.Statement.At(second.Statement.Clock.Span))
                {
                    Acts = view.Acts,
                    Related = [(first.Statement.At(first.Statement.Clock.Span), "the other timekeeper")],
                    Fixes = [.. KeepOne(first, second), .. KeepOne(second, first)],
                });
            }
        }

        /// <summary>The mend that leaves one of two timekeepers, if that one keeps time: the other follows it.</summary>
        private IEnumerable<FixDraft> KeepOne(Timekeeping keep, Timekeeping leave)
        {
            if (view[keep.Clock].Root is not { } root || root.Device.Outermost != keep.Clock.Device.Outermost) return [];
            if (view[leave.Clock].Root == root && leave.Clock != root) return [new FixDraft($"keep {keep.Clock.Name} as the timekeeper", false, [Without(leave)])];
            // A unit that is reached through a card alone takes its time through that.
            var cards = plan.Rig.Clocks.Where(c => c.Device.Host == leave.Clock.Device && view[c].Source.Sort == ClockSourceSort.Host);
            return cards.Prepend(leave.Clock).SelectMany(c => FollowFixes(c, root)).Take(1);
        }

        private void SayKeepers()
        {
            var keepers = Keepers.ToList();
            foreach (var side in involved.GroupBy(c => SideOf(c.Index)))
            {
                if (sidesOfTwo.Contains(side.Key)) continue;
                var clocks = side.OrderBy(c => c.Index).ToList();
                if (clocks.Exists(inConflict.Contains) || clocks.Exists(c => view[c].Fault is ClockFault.Loop or ClockFault.NoTime)) continue;
                if (keepers.Find(k => SideOf(k.Clock.Index) == side.Key) is { } keeper) SayKeeper(keeper, clocks);
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
            foreach (var network in crossings.UsedNetworks)
                if (view.LeaderOf(network) is { } leader && clocks.Contains(leader) && view[leader].Root is { } led && led.Device.Outermost != keeper.Clock.Device.Outermost)
                    SayOtherLeader(network, leader, led, keeper);
        }

        /// <summary>Whether a unit gives time, over a declared cable, to a unit of one of some clocks: then it was meant to lead them.</summary>
        private bool IsCabledTo(Device keeper, List<Clock> clocks) =>
            plan.Rig.Cables.Any(c => c.Acts.Meets(view.Acts) && c.Format.IsDigital && !c.To.Socket.Resamples
                && c.From.Device.Outermost == keeper && clocks.Exists(o => o.Device.Outermost == c.To.Device.Outermost));

        private void SayOtherLeader(Network network, Clock leader, Clock root, Timekeeping keeper, string? slip = null)
        {
            drafts.Add(new Draft(ClockFindings.LedByAnother(network.Symbol.Name, leader.Name, root.Name, keeper.Clock.Name, Why(), slip), network.Symbol.Anchor)
            {
                Severity = slip is null ? null : Severity.Error,
                Acts = view.Acts,
                Related = [(keeper.Statement.At(keeper.Statement.Clock.Span), "the timekeeper"), .. Where(leader)],
                Fixes = WrittenPriorities.Without([leader]),
            });

            // Against a timekeeper that has no part in the election there is nothing to compare.
            string? Why() => view.ElectionOf(network) is { Keeper: not null } election ? election.Why : null;
        }

        private void SayNone(List<Clock> clocks)
        {
            var network = crossings.UsedNetworks.FirstOrDefault(n => view.LeaderOf(n) is { } leader && clocks.Contains(leader));
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
                // The timekeeper may be one of the members that a network lacks.
                FollowsFrom = [.. plan.Rig.Networks.Where(n => n.Members.Any(m => clocks.Exists(c => c.Device == m.Device))).Select(n => UnjoinedPorts.MembersMissing(n.Symbol))],
            });
        }
    }
}
