using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>
/// Both ends of every digital hop run on one clock, or there is a resampler between; every clock has a root; each clock domain has one
/// timekeeper. A border is a cable, a network's member or a slot, and gives one finding however many channels cross it. Gives PL0501 to
/// PL0505, PL0507, PL0510 and PL0511.
/// </summary>
internal static class ClocksCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var drafts = new List<Draft>();
        foreach (var view in plan.Clocks.Views) new Work(plan, view, drafts).Run();
        ActsOfDrafts.AddTogether(plan, drafts, bag);
    }

    private sealed class Work(Plan plan, ClockView view, List<Draft> drafts)
    {
        private readonly int[] sides = [.. Enumerable.Range(0, plan.Rig.Clocks.Length)];
        private readonly HashSet<Clock> involved = [];
        private readonly HashSet<Clock> inConflict = [];
        private readonly HashSet<int> sidesOfTwo = [];
        private readonly HashSet<Clock> fromKeepers = [];
        private readonly ClockCrossings crossings = plan.Clocks.Crossings(view);
        private readonly ClockBorders borders = new(plan, view, plan.Clocks.Crossings(view));
        private readonly ClockMends mends = new(plan, view);

        public void Run()
        {
            foreach (var crossing in crossings.All)
            {
                Join(crossing.Left, crossing.Right);
                involved.Add(crossing.Left);
                involved.Add(crossing.Right);
            }
            SayFaults();
            JoinFollowers();
            SayLostElections();
            SayTwoKeepers();
            LeaveToSlots();
            FindRootsApart();
            foreach (var border in borders.All) SayConflict(border);
            SayKeepers();
            SayUndecided();
        }

        // ---- Sides of the rig: clock domains, that is, clocks joined without a resampler

        private int SideOf(int clock)
        {
            while (sides[clock] != clock) clock = sides[clock] = sides[sides[clock]];
            return clock;
        }

        private void Join(Clock left, Clock right) => sides[SideOf(left.Index)] = SideOf(right.Index);

        // ---- Findings

        private void SayConflict(ClockBorder border)
        {
            inConflict.Add(border.Left);
            inConflict.Add(border.Right);
            var (left, right) = (border.LeftRoots, border.RightRoots);
            drafts.Add(new Draft(
                ClockFindings.TwoClocks(border.LeftName, Names(left), border.RightName, Names(right), border.Rate, ClockBorders.SlipAt(border)), border.At)
            {
                Acts = view.Acts,
                Related = [.. Where(border.Left), .. Where(border.Right), .. left.SelectMany(Undeclared), .. right.SelectMany(Undeclared)],
                Fixes = borders.Between(left[0], right[0]).Count > 1 && MendRoots() is { IsEmpty: false } ofAll ? ofAll : [.. Follow(border.Right, left), .. Follow(border.Left, right)],
                Causes = CausesOf(border),
            });

            // Where two roots meet at several places, a fix at the roots mends them all.
            ImmutableArray<FixDraft> MendRoots() => left is [var one] && right is [var other] ? [.. Follow(other, left), .. Follow(one, right)] : [];

            static string[] Names(ImmutableArray<Clock> roots) => [.. roots.Select(r => r.Name)];

            IEnumerable<FixDraft> Follow(Clock clock, ImmutableArray<Clock> roots) => roots is [var root] ? mends.Follow(clock, root) : [];
        }

        /// <summary>
        /// The causes of a conflict, by which findings are merged: two roots run apart, or one of them runs apart from a timekeeper, wherever else
        /// they meet; and where a root is one of several like clocks, the one statement that sets their source, or that is missing.
        /// </summary>
        private ImmutableArray<string> CausesOf(ClockBorder border)
        {
            Clock[] roots = [.. ((Clock[])[border.LeftRoots[0], border.RightRoots[0]]).OrderBy(r => r.Index)];
            var astray = Array.FindAll(roots, r => !KeepsTime(r));
            // Where both run apart from a timekeeper, too, mending one of them also mends the conflict between the two.
            var first = astray.Length == 1 || Array.TrueForAll(astray, fromKeepers.Contains) ? astray.FirstOrDefault() : null;
            return [first is null ? $"{roots[0].Name} and {roots[1].Name} run apart" : $"{first.Name} runs apart", .. astray.Select(mends.LineOf).OfType<string>()];
        }

        private bool KeepsTime(Clock clock) => Keepers.Any(k => k.Clock.Device.Outermost == clock.Device.Outermost);

        /// <summary>Collects the roots that are no timekeepers and meet a timekeeper's time somewhere.</summary>
        private void FindRootsApart()
        {
            foreach (var border in borders.All)
            {
                var (left, right) = (border.LeftRoots[0], border.RightRoots[0]);
                if (KeepsTime(left) != KeepsTime(right)) fromKeepers.Add(KeepsTime(left) ? right : left);
            }
        }

        /// <summary>The declaration that would settle how far off a clock may be.</summary>
        private static IEnumerable<(Anchor, string)> Undeclared(Clock clock)
        {
            if (clock.Model.AccuracyPpm is null)
                yield return (clock.Device.Model.Gear.Anchor, $"`clock {clock.Model.Name}` of {clock.Device.Model.Gear.Name} states no `accuracy`");
        }

        /// <summary>
        /// Networks that should run on a timekeeper's time but are led by another clock. Slips between the two follow from that, so they
        /// are reported here and not at each border.
        /// </summary>
        private void SayLostElections()
        {
            foreach (var network in crossings.UsedNetworks)
            {
                if (view.ElectionOf(network) is not { Keeper: { } keeper, Leader: { } leader }) continue;
                if (view[leader].Root is not { } led || view[keeper.Clock].Root is not { } kept || led == kept || led.Device.Outermost == keeper.Clock.Device.Outermost) continue;
                var between = borders.Between(led, kept);
                if (between.Count == 0) continue; // nothing slips; SayKeepers reports it for one of the sides
                SayOtherLeader(network, leader, led, keeper, ClockBorders.SlipAt(between[0]));
                between.ForEach(LeaveOut);
            }
        }

        /// <summary>
        /// Where a unit and its card run apart, all other slips between the same two clocks follow from that and are mended with it.
        /// </summary>
        private void LeaveToSlots()
        {
            var inUnits = borders.All.Where(b => b.IsSlot).Select(ClockBorders.RootsOf).ToHashSet();
            foreach (var border in borders.All.Where(b => !b.IsSlot && inUnits.Contains(ClockBorders.RootsOf(b))).ToList()) LeaveOut(border);
        }

        /// <summary>Drops a border that another finding reports.</summary>
        private void LeaveOut(ClockBorder border)
        {
            borders.Remove(border);
            inConflict.Add(border.Left);
            inConflict.Add(border.Right);
        }

        /// <summary>Networks that a timekeeper should lead, where another clock announces the same figures.</summary>
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
            // A timekeeper leads the network that it is set to follow.
            if (state is { IsFree: true, Following.Source.Socket: { } on } && Keepers.FirstOrDefault(k => k.Clock == clock) is { } keeping)
            {
                yield return (keeping.Statement.At(keeping.Statement.Clock.Span), $"{clock.Name} is the timekeeper, and leads the network at {on.Name}");
                yield break;
            }
            var says = state.IsFree ? $"{clock.Name} runs free" : $"{clock.Name} follows {state.SourceText}";
            yield return state.Following is { } following
                ? (following.Statement.At(following.Statement.Source.Span), says)
                : (clock.Device.Unit.Anchor, says + ", by its factory default");
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
                        Fixes = [.. mends.Break(loop)],
                    });
                }
                // A default source that is not chosen in the plan and that nothing uses is no mistake.
                if (state.Fault == ClockFault.NoTime && !state.IsFree && state.Upstream is null && !IsOfBrokenCard(state) && (involved.Contains(state.Clock) || IsNeverDriven(state)))
                    drafts.Add(new Draft(ClockFindings.BringsNoTime(state.Clock.Name, state.SourceText, Why(state)), AtClock(state.Clock))
                    {
                        Acts = view.Acts,
                        FollowsFrom = state.Source switch
                        {
                            { Socket: { } socket } => NothingThere($"{state.Clock.Device.Name}.{socket.Name}"),
                            { Slot: { } slot } => [Foundation.MayBeMeant(slot.Name, state.Clock.Device.Unit.Name)],
                            _ => [],
                        },
                    });
            }
        }

        /// <summary>Findings about a missing connection at the port also explain why no clock arrives.</summary>
        private static ImmutableArray<string> NothingThere(string port) => [UnjoinedPorts.NoNetworkAt(port), MissingCables.Into(port)];

        /// <summary>Whether the clock's source is a card that could not be made.</summary>
        private static bool IsOfBrokenCard(ClockState state) => state.Source.Slot is { } slot && state.Clock.Device.HasBrokenCard(slot);

        /// <summary>Whether a source chosen in the plan brings no time in any of the acts for which it is chosen.</summary>
        private bool IsNeverDriven(ClockState state) =>
            state.Following is { } following && plan.Clocks.Views.All(v => !v.Acts.Meets(following.Acts) || v[state.Clock] is { Fault: ClockFault.NoTime, Upstream: null });

        private static string Why(ClockState state)
        {
            var source = state.Source;
            if (source.Sort == ClockSourceSort.Slot)
                return state.Clock.Device.Cards[source.Slot!.Index] is null ? "nothing is fitted there" : "the card there has no clock of its own";
            if (source.Sort == ClockSourceSort.Host) return "its host has no clock";
            if (source.Socket!.Format is { Time: TimeTransfer.None } format) return $"{format.Name} carries no clock";
            if (source.Socket.Format is { Time: TimeTransfer.Shared }) return "it is on no network";
            return "nothing with a clock is plugged in there";
        }

        private Anchor AtClock(Clock clock) =>
            view[clock].Following is { } following ? following.Statement.At(following.Statement.Source.Span) : clock.Device.Unit.Anchor;

        /// <summary>Which clocks lie on a circle, by index. Each chain is followed until it reaches a clock that was visited before.</summary>
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
                // Back at a clock of this same walk: the walk has closed a circle.
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

        /// <summary>Joins each clock with the one it follows, and each timekeeper with the other clocks of its unit.</summary>
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

        /// <summary>Two timekeepers on one side; slips between the two follow from that.</summary>
        private void SayTwoKeepers()
        {
            foreach (var side in Keepers.GroupBy(k => SideOf(k.Clock.Index)))
            {
                if (side.ToList() is not [var first, var second, ..] || !involved.Any(c => SideOf(c.Index) == side.Key)) continue;
                sidesOfTwo.Add(side.Key);
                List<ClockBorder> between = view[first.Clock].Root is { } one && view[second.Clock].Root is { } other && one != other ? borders.Between(one, other) : [];
                var slip = between.Count == 0 ? null : ClockBorders.SlipAt(between[0]);
                between.ForEach(LeaveOut);
                drafts.Add(new Draft(ClockFindings.TwoKeepers(first.Clock.Name, second.Clock.Name, slip), second.Statement.At(second.Statement.Clock.Span))
                {
                    Acts = view.Acts,
                    Related = [(first.Statement.At(first.Statement.Clock.Span), "the other timekeeper")],
                    Explains = [StandbyCheck.Rivals(first.Clock, second.Clock)],
                    Fixes = [.. mends.KeepOne(first, second), .. first.Clock == second.Clock ? [] : mends.KeepOne(second, first)],
                });
            }
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

        /// <summary>Whether a clock depends on something that has a finding of its own.</summary>
        private bool IsUnknown(Clock clock) =>
            plan.Rig.UnknownClocks.Contains(clock)
            || (view[clock] is { Fault: ClockFault.Undecided, Source.Socket: { } socket } && (plan.Rig.BrokenEnds.Contains((clock.Device, socket)) || plan.Rig.NetworkOf(clock.Device, socket, view.Acts) is { HasUnknownMembers: true }));

        /// <summary>Joins the clocks of a unit and its cards that have the same root.</summary>
        private void JoinUnit(Clock clock)
        {
            foreach (var other in plan.Rig.Clocks)
                if (other.Device.Outermost == clock.Device.Outermost && view[other].Root is { } root && root == view[clock].Root) Join(other, clock);
        }

        private void SayKeeper(Timekeeping keeper, List<Clock> clocks)
        {
            var state = view[keeper.Clock];
            // The root may be a card of the timekeeper's own unit: nobody would call that another unit.
            if (state.Root is { } root && root.Device.Outermost != keeper.Clock.Device.Outermost)
            {
                drafts.Add(new Draft(ClockFindings.KeeperFollows(keeper.Clock.Name, state.SourceText, root.Name), keeper.Statement.At(keeper.Statement.Clock.Span))
                {
                    Acts = view.Acts,
                    Related = [.. Where(keeper.Clock)],
                    Fixes = [ClockMends.Name(keeper, root)],
                });
                return;
            }
            // A card that takes its host's time is not the clock that leads, even if they are one unit.
            if (mends.RunsOnItsHost(keeper.Clock) && state.Root is { } host)
                drafts.Add(new Draft(ClockFindings.KeeperFollows(keeper.Clock.Name, "its host", host.Name), keeper.Statement.At(keeper.Statement.Clock.Span))
                {
                    Severity = Severity.Warning,
                    Acts = view.Acts,
                    Related = [.. Where(keeper.Clock)],
                    Fixes = [ClockMends.Name(keeper, host)],
                });
            foreach (var network in crossings.UsedNetworks)
                if (view.LeaderOf(network) is { } leader && clocks.Contains(leader) && view[leader].Root is { } led && led.Device.Outermost != keeper.Clock.Device.Outermost)
                    SayOtherLeader(network, leader, led, keeper);
        }

        /// <summary>Whether a declared cable carries time from a unit to the unit of one of some clocks: then it was meant to lead them.</summary>
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

            // Without a timekeeper in the election there is nothing to compare the leader with.
            string? Why() => view.ElectionOf(network) is { Keeper: not null } election ? election.Why : null;
        }

        /// <summary>The candidates among some clocks for the lead of their network, where nothing decides between them.</summary>
        private IEnumerable<Clock> Alike(List<Clock> clocks) =>
            crossings.UsedNetworks.Select(view.ElectionOf).Where(e => e is { Leader: null })
                .SelectMany(e => e!.First).Select(c => c.Clock).Where(clocks.Contains).Distinct().Take(3);

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
                Fixes = [.. (root is not null ? [root] : Alike(clocks)).Select(c => mends.Name(c, clocks))],
                // The timekeeper may be one of the members that a network is missing.
                FollowsFrom = [.. plan.Rig.Networks.Where(n => n.Members.Any(m => clocks.Exists(c => c.Device == m.Device))).Select(n => UnjoinedPorts.MembersMissing(n.Symbol))],
            });
        }
    }
}
