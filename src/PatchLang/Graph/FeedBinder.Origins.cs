using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <content>Resolves where a feed starts: sockets, other feeds, sums, alternatives.</content>
    private sealed partial class Work
    {
        // What the members of the sum at hand bring: from which tap, and to which place.
        private readonly HashSet<(int Node, Tap Tap, int Place)> inSum = [];

        private void AddMember(SumOrigin sum, int number, FeedSymbol feed, Elements elements, Target? bus)
        {
            var member = sum.Members[number];
            var resolved = member.Either is { } either ? Resolve(either, bus) : member.Tapped is { } tapped ? Resolve(tapped, bus) : null;
            if (resolved is not { } source) return;
            int[]? fold = null;
            if (member.Fold is { } index)
            {
                fold = Indexes.Choose(index, elements, feed, statement, bag)?.ToArray();
                if (fold is null) return;
            }
            var left = member.Except is { } except ? Excluded(except) : null;
            if (!Fits((long)source.Ends.Length * (fold?.Length ?? elements.Count)) && CrosspointsOf(source, fold, left, elements) is var most && !Fits(most))
            {
                Take(most);
                return;
            }
            var points = new List<End>();
            var places = new List<int>();
            var isSideways = elements.AreSides;
            for (var i = 0; i < source.Ends.Length; i++)
            {
                var end = source.Ends[i];
                if (end.IsAbsent) continue;
                if (left is { IsOwn: false } && left.Nodes.Contains(end.Node)) continue;
                var side = source.MemberNames is null ? source.Elements.SideOf(i) : Sides.IsSide(source.MemberNames[i]) ? source.MemberNames[i] : null;
                if (fold is not null)
                    foreach (var place in fold) Add(place);
                else if (isSideways && side is not null)
                {
                    var place = elements.IndexOf(side);
                    if (place >= 0) Add(place);
                    else
                    {
                        bag.Add(ChannelFindings.NoPlaceFor(side, feed.Name, elements.Words), At(member.Span));
                        return;
                    }
                }
                else
                    for (var place = 0; place < elements.Count; place++) Add(place);

                void Add(int place)
                {
                    if (left is { IsOwn: true } && IsOwn(source, i, elements, place)) return;
                    points.Add(end);
                    places.Add(place);
                }
            }
            Take(points.Count);
            if (sum.Members.Length > 1) CheckTwice();
            AddBranches([.. points], [.. places], source.Tap, member.Gain);

            // Whether an earlier member brings the same to the same place.
            void CheckTwice()
            {
                var again = points.Where((p, i) => p.Node >= 0 && inSum.Contains((p.Node, source.Tap, places[i]))).Select(p => p.Node).Distinct().ToList();
                for (var i = 0; i < points.Count; i++) inSum.Add((points[i].Node, source.Tap, places[i]));
                if (again.Count == 0) return;
                var element = Array.FindIndex(source.Ends, e => e.Node == again[0]);
                var isAll = again.Count == points.Select(p => p.Node).Distinct().Count();
                bag.Add(new Draft(LevelFindings.TwiceInSum(isAll ? Written(member.Span) : source.MemberNames?[element] ?? Written(member.Span)), At(member.Span))
                {
                    Fixes = isAll ? [new FixDraft("name it once", false, At(TextSpan.FromTo(sum.Members[number - 1].Span.End, member.Span.End)), "")] : [],
                    FollowsFrom = [Foundation.UnknownActs, .. again.Select(n => TwoSourcesAt(binder.rig.PointOf(n)))],
                });
            }
        }

        /// <summary>How often a member is mixed: each of its elements counts in each mix it goes to. A side may go to fewer.</summary>
        private static long CrosspointsOf(Source source, int[]? fold, LeftOut? left, Elements sum)
        {
            var count = 0L;
            for (var i = 0; i < source.Ends.Length; i++)
            {
                if (source.Ends[i].IsAbsent || (left is { IsOwn: false } && left.Nodes.Contains(source.Ends[i].Node))) continue;
                count += fold?.Length ?? sum.Count;
                if (left is not { IsOwn: true }) continue;
                var name = source.MemberNames?[i] ?? source.Elements.NameOf(i);
                var number = source.MemberNames is null ? source.Elements.NumberOf(i) : i + 1;
                int[] own = [sum.IndexOf(name), sum.IndexOf(number)];
                count -= own.Where(place => place >= 0 && (fold is null || fold.Contains(place))).Distinct().Count();
            }
            return count;
        }

        private string Written(TextSpan span) => statement.Text.Span.Slice(span.Start, span.Length).ToString();

        /// <summary>Whether an element of a mix-minus is the one left out at a place of the sum: it has the same name or number.</summary>
        private static bool IsOwn(Source source, int element, Elements sum, int place)
        {
            var name = source.MemberNames?[element] ?? source.Elements.NameOf(element);
            return name == sum.NameOf(place) || (sum.NumberOf(place) >= 0 && sum.NumberOf(place) == (source.MemberNames is null ? source.Elements.NumberOf(element) : element + 1));
        }

        private sealed record LeftOut(bool IsOwn, HashSet<int> Nodes);

        private LeftOut Excluded(PickExpression except)
        {
            if (except is { At: null, Path.Steps: [{ Name: "own", Index: null }] } && binder.paths.Candidates(except.Path, file) is null)
                return new LeftOut(true, []);
            var source = Resolve(new TappedExpression(except, Tap.Unstated, default), null);
            return new LeftOut(false, [.. source?.Ends.Select(e => e.Node) ?? []]);
        }

        private Source? Resolve(EitherOrigin either, Target? next)
        {
            Source? first = null;
            End[] all = [];
            List<int>?[] others = [];
            foreach (var choice in either.Choices)
            {
                if (IsTooLarge) return null;
                if (Resolve(choice, next) is not { IsUnknown: false } source) continue;
                if (first is null)
                {
                    (first, all, others) = (source, [.. source.Ends], new List<int>?[source.Ends.Length]);
                    continue;
                }
                if (source.Ends.Length != all.Length)
                {
                    bag.Add(ChannelFindings.ChoiceWidths(all.Length, source.Ends.Length), At(choice.Pick.Span));
                    continue;
                }
                for (var i = 0; i < all.Length; i++)
                {
                    var (mine, its) = (all[i], source.Ends[i]);
                    if (its.IsAbsent) continue;
                    if (mine.IsAbsent)
                    {
                        all[i] = its;
                        continue;
                    }
                    var alternatives = others[i] ??= [.. mine.Others ?? []];
                    alternatives.Add(its.Node);
                    alternatives.AddRange(its.Others ?? []);
                }
            }
            for (var i = 0; i < all.Length; i++)
                if (others[i] is { } alternatives) all[i] = all[i] with { Others = [.. alternatives] };
            return first is { } only ? only with { Ends = all } : null;
        }

        /// <summary>Something that can't be resolved, and has been reported.</summary>
        private static Source Unknown { get; } = new([End.Unknown], Elements.One, null, Tap.Unstated) { IsUnknown = true };

        /// <summary>Resolves a pick; null if it does not exist in these acts.</summary>
        private Source? Resolve(TappedExpression tapped, Target? next, bool keepsAbsent = false)
        {
            var pick = tapped.Pick;
            var start = binder.paths.Start(pick.Path, file, statement, acts, bag);
            var resolved = start.Symbol switch
            {
                null => binder.paths.Candidates(pick.Path, file) is null ? Unknown : keepsAbsent ? Absent(pick) : null,
                UnitSymbol => FromSocket(pick, start, next) ?? Unknown,
                _ => FromFeed(pick, start, next, keepsAbsent),
            };
            if (resolved is not { } source || tapped.Tap == Tap.Unstated) return resolved;
            var isSaid = false;
            for (var i = 0; i < source.Ends.Length; i++)
            {
                if (binder.rig.PointAt(source.Ends[i].Node) is not { IsUnknown: false, Socket.Sort: not SocketSort.Strip } point) continue;
                if (!isSaid)
                    bag.Add(new Draft(FormatFindings.TapNotOnStrip(point.ToString(), tapped.Tap.Words()), At(tapped.TapSpan))
                    {
                        Causes = [$"{point} is no strip"],
                        Explains = [EndsAt(point)],
                    });
                isSaid = true;
                source.Ends[i] = End.Unknown; // it is unknown where it should have been taken
            }
            return source with { Tap = tapped.Tap };
        }

        /// <summary>The key that joins findings about a feed that ends at a point, and goes no further.</summary>
        private static string EndsAt(GraphPoint point) => $"something ends at {point}";

        /// <summary>A member that is absent in these acts, with its usual width.</summary>
        private Source? Absent(PickExpression pick)
        {
            if (binder.paths.Candidates(pick.Path, file) is not { } named) return null;
            var elements = binder.bindingOf(named.First)?.Variants is [var variant, ..] ? variant.Elements : Elements.One;
            Take(elements.Count);
            if (IsTooLarge) return Unknown;
            var ends = new End[elements.Count];
            Array.Fill(ends, new End(-1, null, IsAbsent: true));
            return new Source(ends, elements, null, Tap.Unstated);
        }

        private Source? FromSocket(PickExpression pick, PathStart start, Target? next)
        {
            if (pick.At is { } at)
            {
                bag.Add(NameFindings.OtherSort(pick.Path.Steps[0].Name, "unit", "feed, which is what `at` picks up"), At(at.Span));
                return null;
            }
            if (binder.paths.Socket(pick.Path, start, statement, bag) is not { } target) return null;
            var socket = target.Socket;
            if (socket.IsBroken) return null;
            var isSameUnit = next?.Row[0].Outermost == target.Row[0].Outermost;
            var side = socket.IsInner ? Side.Inner
                : !socket.Has(Side.Out) ? Side.In
                : !socket.Has(Side.In) ? Side.Out
                : isSameUnit ? Side.In : Side.Out;
            if (!CheckEnd(target, side)) return null;
            Take(target.WidthOn(side));
            if (IsTooLarge) return Unknown;
            var ends = endRows.Lend(target.WidthOn(side));
            for (var i = 0; i < ends.Length; i++)
            {
                var (device, channel) = target.At(i, side);
                ends[i] = new End(device.NodeOf(socket, side, channel));
            }
            return new Source(ends, ends.Length == 1 ? Elements.One : Elements.Numbers(1, ends.Length), null, Tap.Unstated);
        }

        private Source? FromFeed(PickExpression pick, PathStart start, Target? next, bool keepsAbsent)
        {
            var binding = binder.bindingOf(start.Symbol!);
            if (binding?.In(acts) is not { } variant) return keepsAbsent ? Absent(pick) : null;
            if (variant.IsUnknown) return Unknown;
            if (start.Steps < pick.Path.Steps.Length)
            {
                var extra = pick.Path.Steps[start.Steps];
                bag.Add(NameFindings.NothingInside(start.Symbol!.Name, extra.Name), At(extra.NameSpan));
                return Unknown;
            }
            if (SelectElements(pick.Path.Steps[start.Steps - 1], start.Symbol!, variant) is not { } chosen) return Unknown;
            Take(chosen.Length);
            if (IsTooLarge) return Unknown;
            var isAll = chosen.Length == variant.Ends.Length;
            var elements = isAll ? variant.Elements
                : chosen.Length == 1 && variant.Elements.SideOf(chosen[0]) is null ? Elements.One
                : Elements.Named([.. chosen.Select(variant.Elements.NameOf)]);
            var names = variant.MemberNames is { Length: > 0 } all ? chosen.Select(c => all[c]).ToArray() : null;
            var members = chosen.Select(c => variant.Members is { } of ? of.ElementAtOrDefault(c) : (variant, c)).ToArray();
            var ends = endRows.Lend(chosen.Length);
            for (var i = 0; i < chosen.Length; i++)
            {
                ends[i] = variant.EndOf(chosen[i]);
                Take(ends[i].Others?.Length ?? 0);
            }
            if (pick.At is not { } at) return new Source(ends, elements, names, Tap.Unstated) { Members = members };

            var place = binder.paths.Start(at, file, statement, acts, bag);
            if (place.Symbol is null) return Unknown;
            if (place.Symbol is not UnitSymbol)
            {
                bag.Add(NameFindings.OtherSort(at.Steps[0].Name, place.Symbol.Sort, "port on the feed's way"), At(at.Span));
                return Unknown;
            }
            if (binder.paths.Socket(at, place, statement, bag) is not { } target) return Unknown;
            for (var i = 0; i < chosen.Length; i++)
            {
                if (ends[i].IsAbsent) continue;
                var (feed, element) = members[i];
                if (feed is null || Passing(feed, element, target, next) is not { } point)
                {
                    if (feed is null || !feed.IsBroken(element))
                        bag.Add(new Draft(FormatFindings.NeverThere(names?[i] ?? start.Symbol!.Name, $"{target.Row[0].Name}.{target.Socket.Name}", feed is null ? "unknown" : Way(feed, element)), At(at.Span))
                        {
                            Related = [(start.Symbol!.Anchor, $"the {start.Symbol.Sort}")],
                            // A feed without a hop passes nothing: this follows from whatever cut it short.
                            FollowsFrom = feed?.Edges.IsEmpty == true && binder.rig.PointAt(ends[i].Node) is { IsUnknown: false } only ? [EndsAt(only)] : [],
                        });
                    return Unknown;
                }
                ends[i] = new End(point.Node);
            }
            return new Source(ends, elements, names, Tap.Unstated) { Members = members };
        }

        /// <summary>The point at which a feed's element passes a port, preferably on the side from which the next hop is possible.</summary>
        private GraphPoint? Passing(FeedVariant variant, int element, Target target, Target? next)
        {
            GraphPoint? found = null;
            var isSameUnit = next?.Row[0].Outermost == target.Row[0].Outermost;
            for (var stop = 0; stop < variant.StopCount; stop++)
            {
                var point = binder.rig.PointAt(variant.NodeAt(stop, element));
                if (point.IsUnknown || point.Socket != target.Socket || !target.Row.Contains(point.Device)) continue;
                if (target.IsIndexed && !target.Ranges.Any(r => point.Channel >= r.First && point.Channel < r.First + r.Count)) continue;
                var isWanted = point.Side == Side.Inner || (point.Side == Side.In) == isSameUnit;
                if (found is null || isWanted) found = point;
            }
            return found;
        }

        private string Way(FeedVariant variant, int element) =>
            string.Join(" -> ", Enumerable.Range(0, variant.StopCount).Select(s => variant.NodeAt(s, element)).Where(n => n >= 0).Distinct().Select(n => binder.rig.PointOf(n).ToString()));

        private int[]? SelectElements(StepExpression step, Symbol symbol, FeedVariant variant) =>
            step.Index is not { } index ? [.. Enumerable.Range(0, variant.Ends.Length)]
            : Indexes.Choose(index, variant.Elements, symbol, statement, bag) is { } chosen ? [.. chosen] : null;

        private static bool ArePlain(End[] ends)
        {
            foreach (ref readonly var end in ends.AsSpan())
                if (!end.IsPlain) return false;
            return true;
        }

        private End[] UnknownEnds(int count)
        {
            var ends = endRows.Lend(count);
            Array.Fill(ends, End.Unknown);
            return ends;
        }

        /// <summary>The points of some ends; of alternatives, the first.</summary>
        private GraphPoint[] PointsOf(End[] ends)
        {
            var points = pointRows.Lend(ends.Length);
            for (var i = 0; i < ends.Length; i++) points[i] = binder.rig.PointAt(ends[i].Node);
            return points;
        }

        /// <summary>Turns ends into branches: one of all first alternatives, one of all second ones, and so on.</summary>
        private void AddBranches(End[] ends, int[]? places, Tap tap, double? gain)
        {
            if (ArePlain(ends))
            {
                branches.Add(new Branch(PointsOf(ends), places, tap, gain, null));
                return;
            }
            var most = 0;
            var hasAbsent = false;
            foreach (var end in ends)
            {
                most = Math.Max(most, end.Others?.Length ?? 0);
                hasAbsent |= end.IsAbsent;
            }
            var alternatives = most == 0 ? null : new object();
            List<int> open = [.. Enumerable.Range(0, ends.Length).Where(i => !ends[i].IsAbsent)]; // the elements with at least this many alternatives
            for (var a = 0; a <= most; a++)
            {
                if (IsTooLarge) return;
                if (a == 0 && !hasAbsent)
                {
                    branches.Add(new Branch(PointsOf(ends), places, tap, gain, alternatives));
                    continue;
                }
                var points = new List<GraphPoint>();
                var where = new List<int>();
                open.RemoveAll(i => a > (ends[i].Others?.Length ?? 0));
                foreach (var i in open)
                {
                    points.Add(binder.rig.PointAt(a == 0 ? ends[i].Node : ends[i].Others![a - 1]));
                    where.Add(places?[i] ?? i);
                }
                if (a > 0) Take(points.Count);
                branches.Add(new Branch([.. points], [.. where], tap, gain, alternatives));
            }
        }

        private void CheckSides(FeedSymbol feed, Elements elements, Elements source)
        {
            for (var i = 0; i < elements.Count; i++)
                if (elements.NameOf(i) != source.NameOf(i) && source.IndexOf(elements.NameOf(i)) >= 0)
                {
                    bag.Add(ChannelFindings.SidesCross(elements.NameOf(i), source.NameOf(i)), At(feed.Origin!.Span), feed.Anchor, "the feed's sides");
                    return;
                }
        }
    }
}
