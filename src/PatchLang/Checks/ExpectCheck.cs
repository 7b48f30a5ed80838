using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// The plan's expectations: each holds, is broken or is undecided, checked in every act in which everything it names exists. Gives PL1001 to PL1004.
/// </summary>
internal static class ExpectCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        List<(ReserveStatement Statement, HashSet<int> Nodes, ActSet Acts)>? reservations = null;
        var sounds = new Sounds(plan);
        var searches = new WaySearches(plan.Graph);
        UnknownActs? unknown = null;
        foreach (var (file, statement) in plan.StatementsOf(NodeKind.Expect))
        {
            if (ExpectStatement.Read(file, statement) is not { } expect)
            {
                plan.Promises.Add(new Promise(statement, null, default, null, false));
                continue;
            }
            var said = bag.Drafts.Count;
            var own = new DraftBag();
            var work = new Work(plan, expect, own, sounds, searches, () => reservations ??= ReserveCheck.Reservations(plan, new DraftBag()));
            work.Run();
            // It may fail only because an unknown act's name makes something exist in acts it was not meant for.
            var follows = !own.IsEmpty && (unknown ??= new UnknownActs(plan)).Concern(expect, own.Drafts);
            foreach (var draft in own.Drafts) bag.Add(follows && ExpectationFindings.IsOfPromise(draft.Message.Kind) ? draft with { FollowsFrom = [.. draft.FollowsFrom, Foundation.UnknownActs] } : draft);
            plan.Promises.Add(new Promise(statement, expect, work.Acts, bag.Drafts.Skip(said).FirstOrDefault(), expect.IsLeftOpen));
        }
    }

    private sealed class Work(
        Plan plan, ExpectStatement expect, DraftBag bag, Sounds sounds, WaySearches searches, Func<List<(ReserveStatement Statement, HashSet<int> Nodes, ActSet Acts)>> reservations)
    {
        private readonly DraftBag found = new();
        private GraphPoint nothingAt;
        private bool isFed;

        /// <summary>The acts in which it was checked.</summary>
        public ActSet Acts { get; private set; }

        public void Run()
        {
            var acts = plan.Foundation.ActsOf(expect.During, expect.File, expect.Statement, bag);
            foreach (var path in expect.Paths)
            {
                if (plan.Signals.Paths.Candidates(path, expect.File) is not { } named) continue;
                acts &= named.All.Aggregate(ActSet.None, (all, s) => all | (plan.Signals.BindingOf(s)?.Acts ?? s.Acts));
            }
            Acts = acts;
            if (acts.IsEmpty)
            {
                bag.Add(ExpectationFindings.NowhereApplies(), expect.At(expect.Span));
                return;
            }
            if (expect.Sort is ExpectSort.Latency or ExpectSort.Headroom)
            {
                if (!IsComparable(acts)) return;
                if (expect.Sort == ExpectSort.Headroom) new HeadroomPromise(plan, expect, bag).Check(acts);
                else new LatencyPromise(plan, expect, searches, bag).Check(acts);
                return;
            }
            foreach (var act in acts.Each)
            {
                CheckIn(act);
                if (!found.IsEmpty) break;
            }
            foreach (var draft in found.Drafts) bag.Add(draft);
            if (!nothingAt.IsUnknown && !isFed) bag.Add(ExpectationFindings.NothingThere(nothingAt.ToString()), expect.At(expect.Span));
        }

        /// <summary>Whether the promised figure has the right unit; reports it if not.</summary>
        private bool IsComparable(ActSet acts)
        {
            var wanted = expect.Sort == ExpectSort.Latency ? Measure.Time : Measure.Gain;
            var what = expect.Sort == ExpectSort.Latency ? "latency" : "headroom";
            // Unresolved names are reported first: the unit does not matter then.
            var said = bag.Drafts.Count;
            foreach (var path in expect.Paths) Heard.SetsOf(plan, path, expect.File, expect.Statement, acts, bag);
            if (bag.Drafts.Count > said) return false;
            if (expect.Measure == wanted) return true;
            bag.Add(NameFindings.WrongValueOf(what, $"is compared with a quantity in {Quantity.SymbolsOf(wanted)}"), expect.At(expect.Span));
            return false;
        }

        private void CheckIn(ActSet act)
        {
            if (expect.Sort is ExpectSort.SpareIn or ExpectSort.SpareOut)
            {
                CheckSpare(act);
                return;
            }
            if (Heard.SetsOf(plan, expect.Subject.Path, expect.File, expect.Statement, act, found) is not { } subjects) return;
            var listeners = subjects.Select(s => Heard.Last(plan, s)).OfType<HashSet<int>>().ToList();
            if (listeners.Count == 0) return;
            foreach (var other in expect.Others)
            {
                if (Heard.SetsOf(plan, other, expect.File, expect.Statement, act, found) is not { } sets) continue;
                if (expect.Sort == ExpectSort.Hears) CheckHears(other, sets, listeners, act);
                else CheckNeverHears(other, sets, listeners, act);
                if (!found.IsEmpty) return;
            }
        }

        private void CheckHears(PathExpression other, List<HashSet<int>> sets, List<HashSet<int>> listeners, ActSet act)
        {
            if (IsHeard(sets, listeners, act)) return;
            var upstream = sounds.Upstream(Union(listeners), act);
            if (upstream.Overlaps(plan.Graph.UnknownSources))
            {
                expect.IsLeftOpen = true;
                return;
            }
            var listener = listeners[0].Min();
            var message = ExpectationFindings.DoesNotHear(plan.Rig.PointOf(listener).ToString(), Missing(other, sets, upstream, act), sounds.At(upstream, act), plan.During(act));
            found.Add(new Draft(message, expect.At(expect.Span)) { Acts = act });
        }

        /// <summary>
        /// Whether each sound reaches a listener and each listener hears one of the sounds. A sound of which nothing is known counts as heard by all.
        /// </summary>
        private bool IsHeard(List<HashSet<int>> sets, List<HashSet<int>> listeners, ActSet act)
        {
            if (sets is [var sound] && listeners is [var listener]) return sound.Count == 0 || sounds.Arrives(sound, listener, act);
            var upstream = sounds.Upstream(Union(listeners), act);
            if (!sets.TrueForAll(s => s.Count == 0 || upstream.Overlaps(s))) return false;
            if (sets.Exists(s => s.Count == 0)) return true;
            var downstream = sounds.Downstream(Union(sets), act);
            return listeners.TrueForAll(downstream.Overlaps);
        }

        private static HashSet<int> Union(List<HashSet<int>> sets)
        {
            if (sets is [var only]) return only;
            var all = new HashSet<int>();
            foreach (var set in sets) all.UnionWith(set);
            return all;
        }

        /// <summary>What is not heard: all that is expected or, where some of several elements are heard, the others.</summary>
        private string Missing(PathExpression other, List<HashSet<int>> sets, HashSet<int> upstream, ActSet act)
        {
            var start = plan.Signals.Paths.Start(other, expect.File, expect.Statement, act, new DraftBag());
            var missing = Enumerable.Range(0, sets.Count).Where(i => sets[i].Count > 0 && !upstream.Overlaps(sets[i])).ToList();
            if (missing.Count == 0 || missing.Count == sets.Count || start.Symbol is not FeedSymbol feed || other.Steps[^1].Index is not null
                || plan.Signals.BindingOf(feed)?.In(act) is not { } variant) return Written(other);
            var names = missing.ConvertAll(variant.Elements.NameOf);
            return names.Count > 2 && missing[^1] - missing[0] == missing.Count - 1 && variant.Elements.NumberOf(missing[0]) > 0
                ? $"{Written(other)}[{names[0]}..{names[^1]}]"
                : $"{Written(other)}[{string.Join(", ", names)}]";
        }

        private void CheckNeverHears(PathExpression other, List<HashSet<int>> sets, List<HashSet<int>> listeners, ActSet act)
        {
            if (listeners.TrueForAll(l => l.Count <= 1 && l.All(n => IsFedByNothing(n, act))))
            {
                var start = plan.Signals.Paths.Start(expect.Subject.Path, expect.File, expect.Statement, act, new DraftBag());
                if (start.Symbol is UnitSymbol) nothingAt = plan.Rig.PointOf(listeners[0].Min());
                return;
            }
            isFed = true;
            if (sets is [var sound] && listeners is [var only] && !sounds.Arrives(sound, only, act)) return;
            var downstream = sounds.Downstream(Union(sets), act);
            if (listeners.Find(downstream.Overlaps) is not { } hearing) return;
            var upstream = sounds.Upstream(hearing, act);
            var heard = sets.Find(upstream.Overlaps)!;
            foreach (var listener in hearing)
                if (plan.Graph.WayTo(listener, heard.Contains, act) is { } way)
                {
                    SayHeard(other, listener, way, act);
                    return;
                }
        }

        private bool IsFedByNothing(int node, ActSet act)
        {
            foreach (var edge in plan.Graph.Into(node))
                if (plan.Graph.FromOf(edge) != node && plan.Graph.ActsOf(edge).Meets(act)) return false;
            return true;
        }

        private void SayHeard(PathExpression other, int listener, List<int> way, ActSet act)
        {
            var points = way.Select(e => plan.Rig.PointOf(plan.Graph.FromOf(e)).ToString()).Append(plan.Rig.PointOf(listener).ToString());
            found.Add(new Draft(ExpectationFindings.HearsAll(plan.Rig.PointOf(listener).ToString(), Written(other), string.Join(" -> ", points), plan.During(act)), expect.At(expect.Span))
            {
                Related = [.. way.Select(plan.AnchorOf).DistinctBy(a => a.Statement).Take(6).Select(a => (a, "on the way"))],
                Acts = act,
            });
        }

        private void CheckSpare(ActSet act)
        {
            var start = plan.Signals.Paths.Start(expect.Subject.Path, expect.File, expect.Statement, act, found);
            if (start.Symbol is null) return;
            if (start.Symbol is not UnitSymbol || expect.Subject.At is not null)
            {
                found.Add(NameFindings.OtherSort(start.Symbol.Name, start.Symbol.Sort, "socket, whose channels are counted"), expect.At(expect.Subject.Span));
                return;
            }
            if (plan.Signals.Paths.Socket(expect.Subject.Path, start, expect.Statement, found) is not { } target) return;
            var side = target.Socket.IsInner ? Side.Inner : expect.Sort == ExpectSort.SpareIn ? Side.In : Side.Out;
            var name = $"{target.Row[0].Name}.{target.Socket.Name}";
            var (spare, reserved, used) = (0, 0, 0);
            for (var i = 0; i < target.WidthOn(side); i++)
            {
                var (device, channel) = target.At(i, side);
                if (channel >= target.Socket.CountOn(side)) continue;
                var node = device.NodeOf(target.Socket, side, channel);
                if (IsUsed(node, act)) used++;
                else if (reservations().Exists(r => r.Acts.Meets(act) && r.Nodes.Contains(node))) reserved++;
                else spare++;
            }
            expect.ComesTo(spare);
            if (!Holds(spare)) Add(ExpectationFindings.TooFewSpare(name, expect.Sort == ExpectSort.SpareIn ? "in" : "out", spare, used, reserved, Words(), plan.During(act)), act);
        }

        private bool IsUsed(int node, ActSet act)
        {
            foreach (var edge in plan.Graph.Into(node))
                if (plan.Graph.ActsOf(edge).Meets(act)) return true;
            foreach (var edge in plan.Graph.OutOf(node))
                if (plan.Graph.ActsOf(edge).Meets(act)) return true;
            return false;
        }

        private bool Holds(double value) => expect.Compare switch
        {
            TokenKind.LessEqual => value <= expect.Bound,
            TokenKind.GreaterEqual => value >= expect.Bound,
            TokenKind.Less => value < expect.Bound,
            _ => value > expect.Bound,
        };

        private string Words() => expect.Compare switch
        {
            TokenKind.LessEqual => $"at most {Quantity.Number(expect.Bound)}",
            TokenKind.GreaterEqual => $"at least {Quantity.Number(expect.Bound)}",
            TokenKind.Less => $"less than {Quantity.Number(expect.Bound)}",
            _ => $"more than {Quantity.Number(expect.Bound)}",
        };

        private string Written(PathExpression path) => expect.Statement.Text.Span.Slice(path.Span.Start, path.Span.Length).ToString();

        private void Add(FindingMessage message, ActSet act) => found.Add(new Draft(message, expect.At(expect.Span)) { Acts = act });
    }

    /// <summary>
    /// Reachability in the signal graph, shared by all promises. Many promises in a row have the same listener or the same sound, so the
    /// last result of each is kept.
    /// </summary>
    private sealed class Sounds(Plan plan)
    {
        /// <summary>The most feeds that a message names.</summary>
        private const int MostNamed = 6;

        private readonly Dictionary<ActSet, Dictionary<int, SortedSet<string>>> endingAt = [];
        private Reached? lastUpstream;
        private Reached? lastDownstream;
        private (HashSet<int> Upstream, string[] Names)? lastNamed;

        /// <summary>All nodes whose sound reaches the listener.</summary>
        public HashSet<int> Upstream(HashSet<int> listener, ActSet act)
        {
            if (lastUpstream?.IsOf(listener, act) != true) lastUpstream = new Reached(act, listener, plan.Graph.Upstream(listener, act));
            return lastUpstream.Nodes;
        }

        /// <summary>All nodes that the sound reaches.</summary>
        public HashSet<int> Downstream(HashSet<int> sound, ActSet act)
        {
            if (lastDownstream?.IsOf(sound, act) != true) lastDownstream = new Reached(act, sound, plan.Graph.Downstream(sound, act));
            return lastDownstream.Nodes;
        }

        /// <summary>Whether the sound reaches the listener.</summary>
        public bool Arrives(HashSet<int> sound, HashSet<int> listener, ActSet act)
        {
            if (lastDownstream?.IsOf(sound, act) == true) return lastDownstream.Nodes.Overlaps(listener);
            var isKnown = lastUpstream?.IsOf(listener, act) == true;
            var arrives = Upstream(listener, act).Overlaps(sound);
            if (!isKnown) Downstream(sound, act); // the next promise may be about the same sound
            return arrives;
        }

        /// <summary>The names of the feeds that start at a socket and end at one of the nodes: the first few.</summary>
        public string[] At(HashSet<int> upstream, ActSet act)
        {
            if (lastNamed is { } known && ReferenceEquals(known.Upstream, upstream)) return known.Names;
            if (!endingAt.TryGetValue(act, out var ending)) endingAt.Add(act, ending = FindEnds(act));
            var names = new SortedSet<string>(StringComparer.Ordinal);
            foreach (var node in upstream)
                if (ending.TryGetValue(node, out var here)) names.UnionWith(here);
            string[] named = [.. names.Take(MostNamed)];
            lastNamed = (upstream, named);
            return named;
        }

        private Dictionary<int, SortedSet<string>> FindEnds(ActSet act)
        {
            var ending = new Dictionary<int, SortedSet<string>>();
            foreach (var binding in plan.Signals.Bindings)
            {
                if (binding.Symbol is not FeedSymbol { Origin.Tapped: not null } feed || binding.In(act) is not { StartsAtSocket: true } variant) continue;
                foreach (var end in variant.Ends)
                {
                    if (end.IsUnknown) continue;
                    if (!ending.TryGetValue(end.Node, out var here)) ending.Add(end.Node, here = new SortedSet<string>(StringComparer.Ordinal));
                    // A message names no more than these.
                    if (here.Add(feed.Name) && here.Count > MostNamed) here.Remove(here.Max!);
                }
            }
            return ending;
        }

        /// <summary>The nodes that can be reached from some nodes, or from which those can be reached, in an act.</summary>
        private sealed record Reached(ActSet Act, HashSet<int> From, HashSet<int> Nodes)
        {
            public bool IsOf(HashSet<int> nodes, ActSet act) => Act == act && From.SetEquals(nodes);
        }
    }
}
