using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>
/// Works out the ways of one feed, bundle or insert: where it starts, through which points it goes, and which edges
/// that makes. Feeds it starts from must have been bound before.
/// </summary>
internal sealed class FeedBinder(Foundation foundation, Rig rig, PathResolver paths, Func<Symbol, FeedBinding?> bindingOf)
{
    private readonly PathResolver paths = paths;
    private readonly Rig rig = rig;
    private readonly Func<Symbol, FeedBinding?> bindingOf = bindingOf;
    private static readonly SettingVocabulary FeedSettings = new(
        "a feed",
        ("phantom", ValueForm.Flag, Measure.None),
        ("private", ValueForm.Flag, Measure.None),
        ("public", ValueForm.Flag, Measure.None),
        ("delay", ValueForm.Quantity, Measure.Time),
        ("level", ValueForm.Quantity, Measure.LevelDbu),
        ("gain_by", ValueForm.Name, Measure.None),
        ("mic", ValueForm.Text, Measure.None),
        ("stand", ValueForm.Text, Measure.None),
        ("note", ValueForm.Text, Measure.None));

    private readonly WayFinder wayFinder = new(rig);

    public FeedBinding Bind(FeedSymbol feed)
    {
        var bag = new DraftBag();
        Indexes.Check(feed.Index, feed.Statement, bag);
        FeedSettings.Check(feed.Settings, feed.Statement, bag);
        if (feed.Elements is { } declared && feed.Labels.Length > 1 && feed.Labels.Length != declared.Count)
            bag.Add(ChannelFindings.LabelCount(feed.Labels.Length, declared.Count), feed.At(feed.LabelSpans[^1]));
        var required = new List<PathExpression>(feed.Hops.Length + 1);
        AddRequired(feed.Origin, required);
        required.AddRange(feed.Hops);
        var members = MembersOf(feed.Origin);
        var acts = ActsOf(feed.Acts, required, feed.File);
        if (feed.During is { } during && acts != feed.Acts)
            bag.Add(NameFindings.ReachesFurther("feed", feed.Name, Names(feed.Acts - acts)), feed.At(during.Span));
        var variants = ImmutableArray.CreateBuilder<FeedVariant>(1);
        foreach (var part in Parts(acts, required, members, feed.File))
            variants.Add(feed.Origin is null
                ? new FeedVariant(part, feed.Elements ?? Elements.One) { Ends = new End[(feed.Elements ?? Elements.One).Count] }
                : new Work(this, feed.File, feed.Statement, part, bag).BindFeed(feed));
        return new FeedBinding
        {
            Foundation = foundation,
            Statement = feed.Statement,
            Symbol = feed,
            Acts = acts,
            Variants = variants.DrainToImmutable(),
            Findings = Once(bag),
            Dependencies = Outside([.. required, .. members], feed.File),
        };
    }

    public FeedBinding Bind(BundleSymbol bundle)
    {
        var bag = new DraftBag();
        var members = new List<PathExpression>();
        foreach (var member in bundle.Members) AddPick(member, members);
        var variants = ImmutableArray.CreateBuilder<FeedVariant>(1);
        foreach (var part in Parts(bundle.Acts, [], members, bundle.File))
            variants.Add(new Work(this, bundle.File, bundle.Statement, part, bag).BindBundle(bundle));
        return new FeedBinding
        {
            Foundation = foundation,
            Statement = bundle.Statement,
            Symbol = bundle,
            Acts = bundle.Acts,
            Variants = variants.DrainToImmutable(),
            Findings = Once(bag),
            Dependencies = Outside(members, bundle.File),
        };
    }

    public FeedBinding Bind(InsertStatement insert, ActSet declared)
    {
        var bag = new DraftBag();
        var required = new List<PathExpression> { insert.Point, insert.Send };
        required.AddRange(insert.Hops);
        var acts = ActsOf(declared, required, insert.File);
        var variants = ImmutableArray.CreateBuilder<FeedVariant>(1);
        foreach (var part in Parts(acts, required, [], insert.File))
            variants.Add(new Work(this, insert.File, insert.Statement, part, bag).BindInsert(insert));
        return new FeedBinding
        {
            Foundation = foundation,
            Statement = insert.Statement,
            Acts = acts,
            Variants = variants.DrainToImmutable(),
            Findings = Once(bag),
            Dependencies = Outside(required, insert.File),
        };
    }

    /// <summary>The paths a feed can't do without: its origin, unless that is a sum, whose members may be absent.</summary>
    private static void AddRequired(OriginExpression? origin, List<PathExpression> into)
    {
        if (origin is PickOrigin pick) AddPick(pick.Tapped.Pick, into);
    }

    private static void AddPick(PickExpression pick, List<PathExpression> into)
    {
        into.Add(pick.Path);
        if (pick.At is { } at) into.Add(at);
    }

    internal static List<PathExpression> MembersOf(OriginExpression? origin)
    {
        var members = new List<PathExpression>();
        if (origin is EitherOrigin either) AddEither(either);
        if (origin is SumOrigin sum)
            foreach (var member in sum.Members)
            {
                if (member.Tapped is { } tapped) AddPick(tapped.Pick, members);
                if (member.Either is { } choices) AddEither(choices);
                if (member.Except is { } except) AddPick(except, members);
            }
        return members;

        void AddEither(EitherOrigin choices)
        {
            foreach (var choice in choices.Choices) AddPick(choice.Pick, members);
        }
    }

    /// <summary>The acts in which everything that is named exists.</summary>
    private ActSet ActsOf(ActSet declared, List<PathExpression> required, PlanFile file)
    {
        var acts = declared;
        foreach (var path in required)
        {
            if (paths.Candidates(path, file) is not { } named) continue;
            var there = ActSet.None;
            foreach (var symbol in named.All) there |= bindingOf(symbol)?.Acts ?? symbol.Acts;
            acts &= there;
        }
        return acts;
    }

    private List<ActSet> Parts(ActSet acts, List<PathExpression> required, List<PathExpression> members, PlanFile file)
    {
        if (acts.IsEmpty) return [];
        if (acts.Count == 1) return [acts];
        var by = new List<ActSet>(rig.Changes);
        foreach (var path in required.Concat(members))
        {
            if (paths.Candidates(path, file) is not { } named) continue;
            foreach (var symbol in named.All)
            {
                by.Add(symbol.Acts);
                if (bindingOf(symbol) is { } binding) by.AddRange(binding.Variants.Select(v => v.Acts));
            }
        }
        return ActClasses.Split(acts, by);
    }

    private ImmutableArray<Dependency> Outside(List<PathExpression> all, PlanFile file)
    {
        var outside = ImmutableArray.CreateBuilder<Dependency>();
        foreach (var path in all)
        {
            var named = paths.Candidates(path, file);
            if (named?.First is UnitSymbol) continue;
            outside.Add(new Dependency(path, BindingsOf(named)));
        }
        return outside.DrainToImmutable();
    }

    /// <summary>Whether a binding made before still holds: the same foundation, and every name it hangs on stands for what it did.</summary>
    public bool StillHolds(FeedBinding binding, PlanFile file)
    {
        if (binding.Foundation != foundation) return false;
        foreach (var (path, bindings) in binding.Dependencies)
        {
            var now = paths.Candidates(path, file);
            if (now is { IsSingle: true } single)
            {
                if (bindings.Length != 1 || bindings[0] != bindingOf(single.First)) return false;
            }
            else if (!BindingsOf(now).SequenceEqual(bindings)) return false;
        }
        return true;
    }

    private ImmutableArray<FeedBinding?> BindingsOf(Named? named) => named is { } some ? [.. some.All.Select(bindingOf)] : [];

    private string Names(ActSet acts) => string.Join(", ", foundation.Acts.Where(a => acts.Has(a.Number)).Select(a => a.Name));

    /// <summary>What is found in several parts of a feed's acts is said once.</summary>
    private static IReadOnlyList<Draft> Once(DraftBag bag) =>
        bag.Drafts.Count < 2 ? bag.Drafts : [.. bag.Drafts.DistinctBy(d => (d.Message, d.At))];

    /// <summary>Points that lead into a hop together.</summary>
    /// <param name="Points">Where they are.</param>
    /// <param name="Places">To which place of the hop each goes; null where each goes to its own.</param>
    /// <param name="Tap">Where in a strip they are taken, as written.</param>
    /// <param name="Gain">The gain written for them, in dB.</param>
    /// <param name="Alternatives">What they are alternatives of, if they are.</param>
    private readonly record struct Branch(GraphPoint[] Points, int[]? Places, Tap Tap, double? Gain, object? Alternatives);

    /// <summary>What an origin gives: its elements, and where each is.</summary>
    private sealed record Source(End[] Ends, Elements Elements, string[]? MemberNames, Tap Tap);

    /// <summary>The work on one statement, in acts in which nothing about it differs.</summary>
    private sealed class Work(FeedBinder binder, PlanFile file, Statement statement, ActSet acts, DraftBag bag)
    {
        private readonly List<Edge> edges = [];
        private List<int>? unknownInto;
        private List<GraphPoint[]>? filledIn;

        public FeedVariant BindFeed(FeedSymbol feed)
        {
            var targets = ResolveHops(feed.Hops);
            if (feed.Origin is SumOrigin sum) return BindSum(feed, sum, targets);
            var next = targets.Length > 0 ? targets[0] : null;
            var source = feed.Origin switch
            {
                PickOrigin pick => Resolve(pick.Tapped, next),
                EitherOrigin either => Resolve(either, next),
                _ => null,
            };
            var elements = feed.Elements ?? source?.Elements ?? WidthElements(targets);
            var ends = source?.Ends ?? new End[elements.Count];
            if (source is not null && ends.Length != elements.Count)
            {
                bag.Add(ChannelFindings.OriginWidth(feed.Name, elements.Count, ends.Length), At(feed.Origin!.Span), feed.Anchor, $"{feed.Name} has {Channels(elements.Count)}");
                ends = new End[elements.Count];
            }
            else if (source is not null && feed.Elements is { AreSides: true } && source.Elements.AreSides) CheckSides(feed, elements, source.Elements);
            var variant = new FeedVariant(acts, elements)
            {
                StartsAtSocket = feed.Origin is PickOrigin { Tapped.Pick.Path: var path } && binder.paths.Candidates(path, file)?.First is UnitSymbol,
            };
            if (targets.Length == 0)
            {
                variant.Ends = ends;
                variant.MemberNames = source?.MemberNames;
                variant.Stops.Add(Points(ends));
                return variant;
            }
            variant.Stops.Add(Points(ends));
            variant.Ends = Travel(variant, Branches(ends, null, source?.Tap ?? Tap.Unstated, null), targets, feed.Hops, isInsert: false);
            return Finish(variant);
        }

        private FeedVariant BindSum(FeedSymbol feed, SumOrigin sum, Target?[] targets)
        {
            var elements = feed.Elements ?? WidthElements(targets);
            var variant = new FeedVariant(acts, elements);
            if (targets.Length == 0)
            {
                bag.Add(LooseEndFindings.SumNowhere(feed.Name), At(sum.Span));
                variant.Ends = new End[elements.Count];
                return variant;
            }
            if (targets[0] is { } first && first.Socket.Sort != SocketSort.Bus && !first.Socket.IsBroken)
            {
                bag.Add(FormatFindings.SumNeedsBus($"{first.Row[0].Name}.{first.Socket.Name}"), At(first.Span), At(sum.Span), "the sum");
                targets[0] = null;
            }
            var branches = new List<Branch>();
            foreach (var member in sum.Members) AddMember(member, feed, elements, targets[0], branches);
            variant.Ends = Travel(variant, branches, targets, feed.Hops, isInsert: false);
            return Finish(variant);
        }

        public FeedVariant BindBundle(BundleSymbol bundle)
        {
            var ends = new List<End>();
            var names = new List<string>();
            var seen = new HashSet<(Symbol, string)>();
            var sides = true;
            foreach (var member in bundle.Members)
            {
                if (Resolve(new TappedExpression(member, Tap.Unstated, default), null, keepsAbsent: true) is not { } source) continue;
                var start = binder.paths.Start(member.Path, file, statement, acts, new DraftBag());
                for (var i = 0; i < source.Ends.Length; i++)
                {
                    var name = source.MemberNames?[i] ?? (source.Elements.IsIndexed ? source.Elements.NameOf(i) : member.Path.Steps[^1].Name);
                    if (start.Symbol is { } symbol && symbol is not UnitSymbol && !seen.Add((symbol, source.Elements.NameOf(i))))
                    {
                        bag.Add(NameFindings.TwiceInBundle(symbol.Name, bundle.Name), At(member.Span));
                        break;
                    }
                    sides &= Sides.IsSide(name);
                    names.Add(name);
                    ends.Add(source.Ends[i]);
                }
            }
            var elements = ends.Count == 0 ? Elements.One
                : sides && names.Distinct().Count() == names.Count ? Elements.Named([.. names])
                : Elements.Numbers(1, ends.Count);
            return new FeedVariant(acts, elements) { Ends = ends.Count == 0 ? new End[1] : [.. ends], MemberNames = [.. names] };
        }

        public FeedVariant BindInsert(InsertStatement insert)
        {
            var strip = ResolveHop(insert.Point);
            var send = ResolveHop(insert.Send);
            var targets = new List<Target?> { send };
            targets.AddRange(ResolveHops(insert.Hops));
            var width = strip?.WidthOn(Side.Inner) ?? 1;
            var variant = new FeedVariant(acts, width == 1 ? Elements.One : Elements.Numbers(1, width)) { Ends = new End[width] };
            if (strip is null || targets.Contains(null)) return variant;
            if (strip.Socket.Sort != SocketSort.Strip)
            {
                bag.Add(ChannelFindings.InsertNotOnStrip($"{strip.Row[0].Name}.{strip.Socket.Name}"), At(insert.Point.Span));
                return variant;
            }
            var back = targets[^1]!;
            if (insert.Hops.IsEmpty || back.Row[0].Outermost != strip.Row[0].Outermost || !back.Socket.Has(Side.In))
            {
                bag.Add(ChannelFindings.InsertStaysAway(strip.Row[0].Name), At(insert.Hops.IsEmpty ? insert.Send.Span : back.Span));
                return variant;
            }
            var points = PointsOf(strip, Side.Inner);
            variant.Stops.Add(points);
            targets.Add(strip);
            variant.Ends = Travel(
                variant, [new Branch(points, null, Tap.BeforeAll, null, null)], [.. targets], [insert.Send, .. insert.Hops, insert.Point], isInsert: true);
            return Finish(variant);
        }

        private FeedVariant Finish(FeedVariant variant)
        {
            variant.Edges = [.. edges];
            variant.UnknownInto = unknownInto;
            return variant;
        }

        private Anchor At(TextSpan span) => new(statement, span);

        private static string Channels(int count) => count == 1 ? "1 channel" : $"{count} channels";

        // ---- Origins

        private void AddMember(MemberExpression member, FeedSymbol feed, Elements elements, Target? bus, List<Branch> branches)
        {
            var source = member.Either is { } either ? Resolve(either, bus) : member.Tapped is { } tapped ? Resolve(tapped, bus) : null;
            if (source is null) return;
            int[]? fold = null;
            if (member.Fold is { } index)
            {
                fold = Fold(index, feed, elements);
                if (fold is null) return;
            }
            var left = member.Except is { } except ? Excluded(except) : null;
            var points = new List<End>();
            var places = new List<int>();
            var isSideways = elements.AreSides;
            for (var i = 0; i < source.Ends.Length; i++)
            {
                var end = source.Ends[i];
                if (end.IsAbsent) continue;
                if (left is { IsOwn: false } && left.Nodes.Contains(end.Point.Node)) continue;
                var side = source.MemberNames is null ? source.Elements.SideOf(i) : Sides.IsSide(source.MemberNames[i]) ? source.MemberNames[i] : null;
                if (fold is not null)
                    foreach (var place in fold) Add(place);
                else if (isSideways && side is not null)
                {
                    var place = elements.IndexOf(side);
                    if (place >= 0) Add(place);
                    else
                    {
                        bag.Add(ChannelFindings.NoPlaceFor(side, feed.Name, PathResolver.Describe(elements)), At(member.Span));
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
            branches.AddRange(Branches([.. points], [.. places], source.Tap, member.Gain));
        }

        /// <summary>Whether an element of a mix-minus is the one that a place of the sum leaves out: the same name, or the same number.</summary>
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
            return new LeftOut(false, [.. source?.Ends.Select(e => e.Point.Node) ?? []]);
        }

        private int[]? Fold(IndexExpression index, FeedSymbol feed, Elements elements)
        {
            var places = new List<int>();
            foreach (var item in index.Items)
            {
                if (item.Name is null && (item.From < 1 || item.To < item.From))
                {
                    bag.Add(ChannelFindings.BadRangeOf(item.From, item.To), At(item.Span));
                    return null;
                }
                for (var number = item.From; number <= item.To; number++)
                {
                    var place = item.Name is { } name ? elements.IndexOf(name) : elements.IndexOf(number);
                    if (place < 0)
                    {
                        var written = item.Name ?? Quantity.Number(number);
                        bag.Add(NameFindings.NoElement("feed", feed.Name, written, PathResolver.Describe(elements), Nearest.To(written, elements.AllNames)), At(item.Span));
                        return null;
                    }
                    places.Add(place);
                }
            }
            return [.. places];
        }

        private Source? Resolve(EitherOrigin either, Target? next)
        {
            Source? all = null;
            foreach (var choice in either.Choices)
            {
                if (Resolve(choice, next) is not { } source) continue;
                if (all is null)
                {
                    all = source with { Ends = [.. source.Ends] };
                    continue;
                }
                if (source.Ends.Length != all.Ends.Length)
                {
                    bag.Add(ChannelFindings.ChoiceWidths(all.Ends.Length, source.Ends.Length), At(choice.Pick.Span));
                    continue;
                }
                for (var i = 0; i < all.Ends.Length; i++)
                {
                    var (mine, its) = (all.Ends[i], source.Ends[i]);
                    if (its.IsAbsent) continue;
                    all.Ends[i] = mine.IsAbsent ? its : mine with { Others = [.. mine.Others ?? [], its.Point, .. its.Others ?? []] };
                }
            }
            return all;
        }

        /// <summary>What a pick gives; null where it can't be resolved, or is not there in these acts.</summary>
        private Source? Resolve(TappedExpression tapped, Target? next, bool keepsAbsent = false)
        {
            var pick = tapped.Pick;
            var start = binder.paths.Start(pick.Path, file, statement, acts, bag);
            var source = start.Symbol switch
            {
                null => keepsAbsent ? Absent(pick) : null,
                UnitSymbol => FromSocket(pick, start, next),
                _ => FromFeed(pick, start, next, keepsAbsent),
            };
            if (source is null || tapped.Tap == Tap.Unstated) return source;
            foreach (var end in source.Ends)
                if (!end.Point.IsUnknown && end.Point.Socket.Sort != SocketSort.Strip)
                {
                    bag.Add(FormatFindings.TapNotOnStrip(end.Point.ToString(), tapped.Tap.Words()), At(tapped.TapSpan));
                    return source;
                }
            return source with { Tap = tapped.Tap };
        }

        /// <summary>A member that is absent in these acts keeps its width.</summary>
        private Source? Absent(PickExpression pick)
        {
            if (binder.paths.Candidates(pick.Path, file) is not { } named) return null;
            var elements = binder.bindingOf(named.First)?.Variants is [var variant, ..] ? variant.Elements : Elements.One;
            var ends = new End[elements.Count];
            Array.Fill(ends, new End(default, null, IsAbsent: true));
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
            var isSameUnit = next is not null && next.Row[0].Outermost == target.Row[0].Outermost;
            var side = socket.IsInner ? Side.Inner
                : !socket.Has(Side.Out) ? Side.In
                : !socket.Has(Side.In) ? Side.Out
                : isSameUnit ? Side.In : Side.Out;
            if (!CheckEnd(target, side)) return null;
            var points = PointsOf(target, side);
            return new Source([.. points.Select(p => new End(p))], points.Length == 1 ? Elements.One : Elements.Numbers(1, points.Length), null, Tap.Unstated);
        }

        private Source? FromFeed(PickExpression pick, PathStart start, Target? next, bool keepsAbsent)
        {
            var binding = binder.bindingOf(start.Symbol!);
            if (binding?.In(acts) is not { } variant) return keepsAbsent ? Absent(pick) : null;
            if (start.Steps < pick.Path.Steps.Length)
            {
                var extra = pick.Path.Steps[start.Steps];
                bag.Add(NameFindings.NothingInside(start.Symbol!.Name, extra.Name), At(extra.NameSpan));
                return null;
            }
            if (SelectElements(pick.Path.Steps[start.Steps - 1], start.Symbol!, variant) is not { } chosen) return null;
            var isAll = chosen.Length == variant.Ends.Length;
            var elements = isAll ? variant.Elements
                : chosen.Length == 1 && variant.Elements.SideOf(chosen[0]) is null ? Elements.One
                : Elements.Named([.. chosen.Select(variant.Elements.NameOf)]);
            var names = variant.MemberNames is { Length: > 0 } all ? chosen.Select(c => all[c]).ToArray() : null;
            if (pick.At is not { } at) return new Source(isAll ? variant.Ends : [.. chosen.Select(c => variant.Ends[c])], elements, names, Tap.Unstated);

            if (start.Symbol is BundleSymbol)
            {
                bag.Add(NameFindings.OtherSort(start.Symbol.Name, "bundle", "feed, which is what `at` picks up"), At(at.Span));
                return null;
            }
            var place = binder.paths.Start(at, file, statement, acts, bag);
            if (place.Symbol is null) return null;
            if (place.Symbol is not UnitSymbol)
            {
                bag.Add(NameFindings.OtherSort(at.Steps[0].Name, place.Symbol.Sort, "port on the feed's way"), At(at.Span));
                return null;
            }
            if (binder.paths.Socket(at, place, statement, bag) is not { } target) return null;
            var ends = new End[chosen.Length];
            for (var i = 0; i < chosen.Length; i++)
            {
                if (Passing(variant, chosen[i], target, next) is not { } point)
                {
                    if (variant.Stops.TrueForAll(s => !s[chosen[i]].IsUnknown || s.All(p => p.IsUnknown)) && !variant.Ends[chosen[i]].Point.IsUnknown)
                        bag.Add(FormatFindings.NeverThere(start.Symbol!.Name, $"{target.Row[0].Name}.{target.Socket.Name}", Way(variant, chosen[i])), At(at.Span), start.Symbol.Anchor, "the feed");
                    return null;
                }
                ends[i] = new End(point);
            }
            return new Source(ends, elements, names, Tap.Unstated);
        }

        /// <summary>The point at which a feed's element passes a port, on the side from which the next hop is possible.</summary>
        private static GraphPoint? Passing(FeedVariant variant, int element, Target target, Target? next)
        {
            GraphPoint? found = null;
            var isSameUnit = next is not null && next.Row[0].Outermost == target.Row[0].Outermost;
            foreach (var stop in variant.Stops)
            {
                var point = stop[element];
                if (point.IsUnknown || point.Socket != target.Socket || !target.Row.Contains(point.Device)) continue;
                if (target.IsIndexed && !target.Ranges.Any(r => point.Channel >= r.First && point.Channel < r.First + r.Count)) continue;
                var isWanted = point.Side == Side.Inner || (point.Side == Side.In) == isSameUnit;
                if (found is null || isWanted) found = point;
            }
            return found;
        }

        private static string Way(FeedVariant variant, int element) =>
            string.Join(" -> ", variant.Stops.Select(s => s[element]).Where(p => !p.IsUnknown).Distinct().Select(p => p.ToString()));

        private int[]? SelectElements(StepExpression step, Symbol symbol, FeedVariant variant)
        {
            if (step.Index is not { } index) return [.. Enumerable.Range(0, variant.Ends.Length)];
            var chosen = new List<int>();
            foreach (var item in index.Items)
            {
                if (item.Name is null && (item.From < 1 || item.To < item.From))
                {
                    bag.Add(ChannelFindings.BadRangeOf(item.From, item.To), At(item.Span));
                    return null;
                }
                for (var number = item.From; number <= item.To; number++)
                {
                    var element = !variant.Elements.IsIndexed ? -1 : item.Name is { } name ? variant.Elements.IndexOf(name) : variant.Elements.IndexOf(number);
                    if (element < 0 || element >= variant.Ends.Length)
                    {
                        var written = item.Name ?? Quantity.Number(number);
                        bag.Add(
                            NameFindings.NoElement(symbol.Sort, symbol.Name, written, variant.Elements.IsIndexed ? PathResolver.Describe(variant.Elements) : null, Nearest.To(written, variant.Elements.AllNames)),
                            At(item.Span), symbol.Anchor, "declared here");
                        return null;
                    }
                    chosen.Add(element);
                }
            }
            return [.. chosen];
        }

        private static GraphPoint[] Points(End[] ends)
        {
            var points = new GraphPoint[ends.Length];
            for (var i = 0; i < ends.Length; i++) points[i] = ends[i].Point;
            return points;
        }

        /// <summary>The ends as branches: one for all first alternatives, one for all second ones, and so on.</summary>
        private static List<Branch> Branches(End[] ends, int[]? places, Tap tap, double? gain)
        {
            var branches = new List<Branch>(1);
            var most = 0;
            foreach (var end in ends) most = Math.Max(most, end.Others?.Length ?? 0);
            var alternatives = most == 0 ? null : new object();
            var hasAbsent = Array.Exists(ends, e => e.IsAbsent);
            for (var a = 0; a <= most; a++)
            {
                if (a == 0 && !hasAbsent)
                {
                    branches.Add(new Branch(Points(ends), places, tap, gain, alternatives));
                    continue;
                }
                var points = new List<GraphPoint>();
                var where = new List<int>();
                for (var i = 0; i < ends.Length; i++)
                {
                    if (ends[i].IsAbsent || (a > 0 && a > (ends[i].Others?.Length ?? 0))) continue;
                    points.Add(a == 0 ? ends[i].Point : ends[i].Others![a - 1]);
                    where.Add(places?[i] ?? i);
                }
                branches.Add(new Branch([.. points], [.. where], tap, gain, alternatives));
            }
            return branches;
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

        // ---- Hops

        private Target?[] ResolveHops(ImmutableArray<PathExpression> hops)
        {
            var targets = new Target?[hops.Length];
            for (var i = 0; i < hops.Length; i++) targets[i] = ResolveHop(hops[i]);
            return targets;
        }

        private Target? ResolveHop(PathExpression path)
        {
            var start = binder.paths.Start(path, file, statement, acts, bag);
            if (start.Symbol is null) return null;
            if (start.Symbol is not UnitSymbol)
            {
                bag.Add(NameFindings.OtherSort(start.Symbol.Name, start.Symbol.Sort, "socket to go through"), At(path.Span), start.Symbol.Anchor, "declared here");
                return null;
            }
            return binder.paths.Socket(path, start, statement, bag) is { Socket.IsBroken: false } target ? target : null;
        }

        /// <summary>The elements of what names none itself: as many as the first hop that is known has channels.</summary>
        private static Elements WidthElements(Target?[] targets)
        {
            foreach (var target in targets)
            {
                if (target is null) continue;
                var side = target.Socket.IsInner ? Side.Inner : target.Socket.Has(Side.In) ? Side.In : Side.Out;
                var width = target.WidthOn(side);
                return width <= 1 ? Elements.One : Elements.Numbers(1, width);
            }
            return Elements.One;
        }

        /// <summary>Whether a target's channels are all there on a side; says so if not.</summary>
        private bool CheckEnd(Target target, Side side)
        {
            var count = target.Socket.CountOn(side);
            if (!target.IsIndexed)
            {
                if (count > 0) return true;
                bag.Add(PathResolver.PastEnd(target.Row[0], target.Socket, 1, 0, At(target.Span)));
                return false;
            }
            foreach (var (first, length) in target.Ranges)
                if (first + length > count)
                {
                    bag.Add(PathResolver.PastEnd(target.Row[0], target.Socket, first + length, count, At(target.Span)));
                    return false;
                }
            return true;
        }

        private static GraphPoint[] PointsOf(Target target, Side side)
        {
            var points = new GraphPoint[target.WidthOn(side)];
            for (var i = 0; i < points.Length; i++)
            {
                var (device, channel) = target.At(i, side);
                points[i] = new GraphPoint(device, target.Socket, side, channel);
            }
            return points;
        }

        private End[] Travel(FeedVariant variant, List<Branch> branches, Target?[] targets, ImmutableArray<PathExpression> hops, bool isInsert)
        {
            var width = variant.Elements.Count;
            GraphPoint[] at = [];
            Target? before = null;
            for (var h = 0; h < targets.Length; h++)
            {
                at = Arrive(branches, targets[h], width, hops[h]);
                filledIn = branches.Count == 1 && branches[0].Places is null ? [] : null;
                foreach (var branch in branches) Advance(branch, at, hops[h].Span, isInsert);
                if (filledIn is { Count: > 0 }) variant.Stops.AddRange(filledIn);
                variant.Stops.Add(at);
                if (branches.Count == 1 && branches[0].Places is null) CheckStep(branches[0].Points, at, before, targets[h]);
                before = targets[h];
                branches = [new Branch(at, null, Tap.Unstated, null, null)];
            }
            var ends = new End[width];
            for (var i = 0; i < width; i++) ends[i] = new End(at[i]);
            return ends;
        }

        /// <summary>The points of a hop, on the side on which a signal from these branches gets there; unknown ones where the hop is broken.</summary>
        private GraphPoint[] Arrive(List<Branch> branches, Target? target, int width, PathExpression hop)
        {
            if (target is null) return new GraphPoint[width];
            var socket = target.Socket;
            Side side;
            if (socket.IsInner) side = Side.Inner;
            else
            {
                var from = default(GraphPoint);
                foreach (var branch in branches)
                {
                    from = Array.Find(branch.Points, p => !p.IsUnknown);
                    if (!from.IsUnknown) break;
                }
                var isInside = !from.IsUnknown && from.Side != Side.Out && from.Device.Outermost == target.Row[0].Outermost;
                side = isInside ? (socket.Has(Side.Out) ? Side.Out : Side.In) : socket.Has(Side.In) ? Side.In : Side.Out;
            }
            if (!CheckEnd(target, side)) return new GraphPoint[width];
            if (target.WidthOn(side) != width)
            {
                bag.Add(ChannelFindings.HopWidth($"{target.Row[0].Name}.{socket.Name}", target.WidthOn(side), width, target.IsIndexed), At(hop.Span));
                return new GraphPoint[width];
            }
            return PointsOf(target, side);
        }

        /// <summary>Says that one channel of a straight run, or one of a pair, is out of step.</summary>
        private void CheckStep(GraphPoint[] from, GraphPoint[] to, Target? before, Target? target)
        {
            if (target is not { IsIndexed: true } || target.Row.Length > 1 || to.Length < 2 || (before is null && from.Length != to.Length)) return;
            if (!IsRun(from) || !IsRun(to)) return;
            for (var i = 1; i < to.Length; i++)
                if (Math.Sign(to[i].Channel - to[i - 1].Channel) != Math.Sign(from[i].Channel - from[i - 1].Channel))
                {
                    bag.Add(ChannelFindings.OutOfStep(from[i - 1].ToString(), to[i - 1].ToString(), from[i].ToString(), to[i].ToString()), At(target.Span));
                    return;
                }

            static bool IsRun(GraphPoint[] points)
            {
                if (points[0].IsUnknown) return false;
                int low = points[0].Channel, high = low;
                foreach (var point in points)
                {
                    if (point.IsUnknown || point.Device != points[0].Device || point.Socket != points[0].Socket) return false;
                    low = Math.Min(low, point.Channel);
                    high = Math.Max(high, point.Channel);
                }
                return high - low == points.Length - 1;
            }
        }

        /// <summary>How the elements of one group get to the hop: all through the same ports.</summary>
        private readonly record struct Plan(Route? Route, bool IsLink, ImmutableArray<GraphPoint> Way)
        {
            public bool IsNone => Route is null && !IsLink && Way.IsDefault;
        }

        private void Advance(Branch branch, GraphPoint[] at, TextSpan span, bool isInsert)
        {
            var plan = default(Plan);
            GraphPoint lastFrom = default, lastTo = default;
            var hasFailed = false;
            var hops = new HopSet(branch, span, isInsert);
            for (var i = 0; i < branch.Points.Length; i++)
            {
                var place = branch.Places is null ? i : branch.Places[i];
                var (from, to) = (branch.Points[i], at[place]);
                if (to.IsUnknown) continue;
                if (from.IsUnknown)
                {
                    (unknownInto ??= []).Add(to.Node);
                    continue;
                }
                if (from == to) continue; // a feed that starts where another ends, named again
                if (!IsSameGroup(from, lastFrom) || !IsSameGroup(to, lastTo)) plan = MakePlan(from, to, span, ref hasFailed);
                (lastFrom, lastTo) = (from, to);
                var isDone = !plan.IsNone && (
                    plan.Route is { } route ? AddRoute(from, to, route, hops)
                    : plan.IsLink ? AddLink(from, to, hops, span, ref hasFailed)
                    : AddWay(from, to, plan.Way, hops, place, at.Length, span, ref hasFailed));
                if (!isDone) (unknownInto ??= []).Add(to.Node);
            }
        }

        private static bool IsSameGroup(GraphPoint left, GraphPoint right) =>
            left.Device == right.Device && left.Socket == right.Socket && left.Side == right.Side;

        private Plan MakePlan(GraphPoint from, GraphPoint to, TextSpan span, ref bool hasFailed)
        {
            var isSameUnit = from.Device.Outermost == to.Device.Outermost;
            if (isSameUnit && from.Side != Side.Out && to.Side != Side.In && WayFinder.InnerRoute(from, to) is { } route) return new Plan(route, false, default);
            if (from.Side == Side.Out && to.Side == Side.In && from.Socket.Format is { } format && format == to.Socket.Format
                && (Joined(from, to, isSameUnit) != LinkState.Apart)) return new Plan(null, true, default);
            var found = binder.wayFinder.Find(from, to, acts);
            if (found.Ways.Count == 1) return new Plan(null, false, found.Ways[0]);
            if (!hasFailed) bag.Add(NoWay(from, to, found, isSameUnit, span));
            hasFailed = true;
            return default;
        }

        private enum LinkState
        {
            Apart,
            Cabled,
            Implied,
            Networked,
        }

        /// <summary>Whether an output and an input of one format are joined, or may be taken to be.</summary>
        private LinkState Joined(GraphPoint from, GraphPoint to, bool isSameUnit)
        {
            var rig = binder.rig;
            if (from.Socket.Format!.Joins == Joining.Switched)
                return rig.NetworkOf(from.Device, from.Socket, acts) is { } network && rig.NetworkOf(to.Device, to.Socket, acts) == network ? LinkState.Networked : LinkState.Apart;
            var (leaves, arrives) = (from.Connector, to.Connector);
            var (isOutTaken, isInTaken) = (false, false);
            if (rig.CablesFrom.TryGetValue(leaves, out var cables))
                foreach (var cable in cables)
                {
                    if (!cable.Acts.Meets(acts)) continue;
                    if (cable.To == arrives) return LinkState.Cabled;
                    isOutTaken = true;
                }
            // A two-way cable, written the other way round.
            if (rig.CablesFrom.TryGetValue(arrives with { Side = Side.Out }, out var returns))
                foreach (var cable in returns)
                    if (cable.BothWays && cable.Acts.Meets(acts))
                    {
                        if (cable.To == leaves with { Side = Side.In }) return LinkState.Cabled;
                        isInTaken = true;
                    }
            if (rig.CablesTo.TryGetValue(arrives, out var into)) isInTaken |= into.Exists(c => c.Acts.Meets(acts));
            if (rig.CablesTo.TryGetValue(leaves with { Side = Side.In }, out var back)) isOutTaken |= back.Exists(c => c.BothWays && c.Acts.Meets(acts));
            if (from.Socket.Format.Joins == Joining.Shared) isOutTaken = false;
            return isOutTaken || isInTaken || isSameUnit ? LinkState.Apart : LinkState.Implied;
        }

        private bool AddRoute(GraphPoint from, GraphPoint to, Route first, HopSet hops)
        {
            var route = first.Sort == RouteSort.Free && first.From.All(e => e.Channels.IsEmpty) && first.To.All(e => e.Channels.IsEmpty) ? first : WayFinder.InnerRoute(from, to);
            if (route is null) return Fail(from, to, hops.Span);
            edges.Add(new Edge(from.Node, to.Node, hops.Route(route, TapOf(from, to, hops.Tap))));
            return true;
        }

        /// <summary>The tap of a hop out of a strip: the one written, else the bus's usual one, else the strip's own for direct outputs.</summary>
        private static Tap TapOf(GraphPoint from, GraphPoint to, Tap written) =>
            from.Socket.Sort != SocketSort.Strip ? Tap.Unstated
            : written != Tap.Unstated ? written
            : to.Socket.Sort == SocketSort.Bus && to.Socket.Tap != Tap.Unstated ? to.Socket.Tap
            : from.Socket.Tap;

        private bool Fail(GraphPoint from, GraphPoint to, TextSpan span)
        {
            bag.Add(FormatFindings.NoRouteInside(from.ToString(), to.ToString(), from.Device.Outermost.Model.Gear.Name), At(span));
            return false;
        }

        private bool AddLink(GraphPoint from, GraphPoint to, HopSet hops, TextSpan span, ref bool hasFailed)
        {
            var state = Joined(from, to, from.Device.Outermost == to.Device.Outermost);
            if (state == LinkState.Apart)
            {
                if (!hasFailed) bag.Add(Apart(from, to, span));
                hasFailed = true;
                return false;
            }
            if (state != LinkState.Networked)
            {
                var (leaves, arrives) = (from.Channel % from.Socket.OutPerConnector, to.Channel % to.Socket.InPerConnector);
                if (leaves != arrives)
                {
                    if (!hasFailed)
                        bag.Add(
                            ChannelFindings.NumberChanges(from.ToString(), to.ToString(), from.Socket.Format!.Name, leaves + 1, arrives + 1), At(span));
                    hasFailed = true;
                    return false;
                }
            }
            edges.Add(new Edge(from.Node, to.Node, state switch
            {
                LinkState.Networked => hops.OnNetwork(binder.rig.NetworkOf(from.Device, from.Socket, acts)!),
                LinkState.Cabled => hops.OnCable(),
                _ => hops.OnImpliedCable(),
            }));
            return true;
        }

        /// <summary>Adds a filled-in way: the one found for the first channel of the group, through the same ports.</summary>
        private bool AddWay(GraphPoint from, GraphPoint to, ImmutableArray<GraphPoint> model, HopSet hops, int place, int width, TextSpan span, ref bool hasFailed)
        {
            var way = model[0] == from && model[^1] == to ? model : SameWay(from, to, model, span, ref hasFailed);
            if (way.IsDefault) return false;
            for (var i = 1; i < way.Length; i++)
            {
                var (a, b) = (way[i - 1], way[i]);
                if (a.Side == Side.Out && b.Side == Side.In)
                {
                    var isNetwork = a.Socket.Format!.Joins == Joining.Switched;
                    edges.Add(new Edge(a.Node, b.Node, isNetwork ? hops.Filled.OnNetwork(binder.rig.NetworkOf(a.Device, a.Socket, acts)!) : hops.Filled.OnCable()));
                }
                else
                    edges.Add(new Edge(a.Node, b.Node, hops.Filled.Route(WayFinder.InnerRoute(a, b)!, TapOf(a, b, i == 1 ? hops.Tap : Tap.Unstated))));
                if (filledIn is null || i == way.Length - 1) continue;
                while (filledIn.Count < i) filledIn.Add(new GraphPoint[width]);
                filledIn[i - 1][place] = b;
            }
            return true;
        }

        private ImmutableArray<GraphPoint> SameWay(GraphPoint from, GraphPoint to, ImmutableArray<GraphPoint> model, TextSpan span, ref bool hasFailed)
        {
            var found = binder.wayFinder.Find(from, to, acts);
            foreach (var way in found.Ways)
            {
                if (way.Length != model.Length) continue;
                var isSame = true;
                for (var i = 0; i < way.Length && isSame; i++) isSame = IsSameGroup(way[i], model[i]);
                if (isSame) return way;
            }
            if (!hasFailed) bag.Add(NoWay(from, to, found, from.Device.Outermost == to.Device.Outermost, span));
            hasFailed = true;
            return default;
        }

        // ---- What to say where there is no way

        private Draft NoWay(GraphPoint from, GraphPoint to, WayFinder.Found found, bool isSameUnit, TextSpan span)
        {
            var at = At(span);
            if (found.Ways.Count > 1)
                return new Draft(FormatFindings.WaysBetween(from.ToString(), to.ToString(), [.. found.Ways.Take(3).Select(w => string.Join(" -> ", w.Select(p => p.ToString())))], found.Ways.Count), at);
            var related = ImmutableArray.Create(
                (Declared(from), $"{from.Socket.Name} is declared here"), (Declared(to), $"{to.Socket.Name} is declared here"));
            if (isSameUnit && from.Side != Side.Out)
            {
                if (to.Side == Side.In) return new Draft(FormatFindings.SidesInside(from.ToString(), to.ToString()), at) { Related = related };
                return new Draft(FormatFindings.NoRouteInside(from.ToString(), to.ToString(), from.Device.Outermost.Model.Gear.Name), at) { Related = related };
            }
            if (from.Side == Side.Out && to.Side == Side.In)
            {
                if (from.Socket.Format is { } left && to.Socket.Format is { } right && left != right)
                    return new Draft(FormatFindings.EndsDiffer(from.ToString(), left.Name, to.ToString(), right.Name), at)
                    {
                        Related = [(left.Anchor, $"{left.Name} is declared here"), (right.Anchor, $"{right.Name} is declared here")],
                    };
                return Apart(from, to, span);
            }
            if (from.Side == Side.Out && to.Side == Side.Out && !isSameUnit && found.DeadEnds.TrueForAll(p => p == from))
                return new Draft(FormatFindings.OutputIntoOutput(from.ToString(), to.ToString()), at) { Related = related };
            if (from.Side == Side.In && to.Side == Side.In && found.DeadEnds.TrueForAll(p => p == from) && !from.Socket.Has(Side.Out))
                return new Draft(FormatFindings.InputIntoInput(from.ToString(), to.ToString()), at) { Related = related };
            var ends = found.DeadEnds.Where(p => p != from).Select(p => p.ToString()).Distinct().Take(3).ToArray();
            return new Draft(FormatFindings.NoWayBetween(from.ToString(), to.ToString(), ends), at) { Related = related };
        }

        private static Anchor Declared(GraphPoint point) => new(point.Device.Model.Gear.Statement, point.Socket.Declaration.NameSpan);

        /// <summary>Both ends speak the same format, and nothing joins them.</summary>
        private Draft Apart(GraphPoint from, GraphPoint to, TextSpan span)
        {
            var rig = binder.rig;
            var at = At(span);
            if (from.Socket.Format!.Joins != Joining.Switched)
            {
                var taken = rig.CablesFrom.GetValueOrDefault(from.Connector)?.Find(c => c.Acts.Meets(acts)) ?? rig.CablesTo.GetValueOrDefault(to.Connector)?.Find(c => c.Acts.Meets(acts));
                return taken is null
                    ? new Draft(FormatFindings.LoopBackUncabled(from.ToString(), to.ToString()), at)
                    : new Draft(FormatFindings.CabledElsewhere(from.ToString(), to.ToString(), taken.From.ToString(), taken.To.ToString()), at)
                    {
                        Related = [(Anchors.OpenerOf(taken.Statement.Statement), "the cable")],
                    };
            }
            var (left, right) = (rig.NetworkOf(from.Device, from.Socket, acts), rig.NetworkOf(to.Device, to.Socket, acts));
            var (a, b) = ($"{from.Device.Name}.{from.Socket.Name}", $"{to.Device.Name}.{to.Socket.Name}");
            var message = (left, right) switch
            {
                (null, null) => FormatFindings.OnNoNetwork(a, b),
                (null, _) => FormatFindings.NotOnNetwork(a, right.Symbol.Name),
                (_, null) => FormatFindings.NotOnNetwork(b, left.Symbol.Name),
                _ => FormatFindings.OnOtherNetwork(a, left.Symbol.Name, b, right.Symbol.Name),
            };
            var network = left is null ? right : right is null ? left : null;
            if (network is null) return new Draft(message, at);
            var missing = left is null ? a : b;
            return new Draft(message, at)
            {
                Related = [(network.Symbol.Anchor, "the network")],
                Fixes = [new FixDraft($"join {missing} to {network.Symbol.Name}", false, network.Symbol.At(new TextSpan(network.Symbol.JoinOffset, 0)), $"\n  join {missing}")],
            };
        }
    }

    /// <summary>The hops that the edges of one branch share; each is made when first used.</summary>
    private sealed class HopSet(Branch branch, TextSpan span, bool isInsert, bool isFilledIn = false)
    {
        private Hop? last;
        private HopSet? filled;

        public TextSpan Span => span;

        public Tap Tap => branch.Tap;

        public HopSet Filled => filled ??= new HopSet(branch, span, isInsert, isFilledIn: true);

        public Hop Route(Route route, Tap tap) =>
            last is { Kind: HopKind.Route } same && same.Route == route && same.Tap == tap ? same : last = Make(HopKind.Route, route, null, tap);

        public Hop OnNetwork(Network network) => last is { Kind: HopKind.Network } same && same.Network == network ? same : last = Make(HopKind.Network, null, network, Tap.Unstated);

        public Hop OnCable() => last is { Kind: HopKind.Cable } ? last : last = Make(HopKind.Cable, null, null, Tap.Unstated);

        public Hop OnImpliedCable() => last is { Kind: HopKind.ImpliedCable } ? last : last = Make(HopKind.ImpliedCable, null, null, Tap.Unstated);

        private Hop Make(HopKind kind, Route? route, Network? network, Tap tap) => new()
        {
            Kind = kind,
            Route = route,
            Network = network,
            Tap = tap,
            Gain = branch.Gain,
            Alternatives = branch.Alternatives,
            IsInsert = isInsert,
            IsFilledIn = isFilledIn,
            Span = span,
        };
    }
}
