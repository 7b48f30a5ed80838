using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>
/// Binds one feed, bundle or insert: resolves where it starts and the points it passes, and makes the edges of the signal graph.
/// Feeds that it starts from must be bound before it.
/// </summary>
internal sealed partial class FeedBinder(Foundation foundation, Rig rig, PathResolver paths, Func<Symbol, FeedBinding?> bindingOf)
{
    private readonly PathResolver paths = paths;
    private readonly Rig rig = rig;
    private readonly Func<Symbol, FeedBinding?> bindingOf = bindingOf;
    internal static readonly SettingVocabulary FeedSettings = new(
        "a feed",
        ("phantom", ValueForm.Flag, Measure.None),
        ("private", ValueForm.Flag, Measure.None),
        ("public", ValueForm.Flag, Measure.None),
        ("delay", ValueForm.Quantity, Measure.Time),
        ("voice", ValueForm.Flag, Measure.None),
        ("wind", ValueForm.Flag, Measure.None),
        ("performer", ValueForm.Name, Measure.None),
        ("level", ValueForm.Quantity, Measure.LevelDbu),
        ("gain", ValueForm.Quantity, Measure.Gain),
        ("pad", ValueForm.Quantity, Measure.Gain),
        ("trim", ValueForm.Quantity, Measure.Gain),
        ("fader", ValueForm.Quantity, Measure.Gain),
        ("gain_by", ValueForm.Unit, Measure.None),
        ("mic", ValueForm.Text, Measure.None),
        ("stand", ValueForm.Text, Measure.None),
        ("note", ValueForm.Text, Measure.None));

    private readonly int mostPoints = PointLimit.Of(rig.AllActs);
    private readonly WayFinder wayFinder = new(rig);
    private Work? worker;
    private DraftBag spare = new();

    // The names in the current statement: first those it needs to exist, then members, which may be absent.
    private readonly List<PathLead> leads = [];
    private int requiredCount;

    // Sets of acts in each of which all names mean the same, and the variant for each.
    private readonly List<ActSet> parts = [];
    private readonly List<FeedVariant> variants = [];

    public FeedBinding Bind(FeedSymbol feed, IReadOnlyList<Draft>? said)
    {
        var bag = BagWith(said);
        Indexes.Check(feed.Index, feed.Statement, bag);
        FeedSettings.Check(feed.Settings, feed.Statement, bag);
        foundation.CheckUnits(FeedSettings, feed.Settings, feed.File, feed.Statement, bag);
        if (feed.Elements is { } declared && !feed.IsUnknown && feed.Labels.Length is > 1 and var count && count != declared.Count)
            bag.Add(ChannelFindings.LabelCount(feed.Labels.Length, declared.Count), feed.At(ExpressionReader.LabelSpan(feed.Statement, feed.Labels.Length - 1)));
        leads.Clear();
        // A sum still exists if some of its members are absent.
        if (feed.Origin?.Tapped is { } tapped) LookUp(tapped.Pick, feed.File);
        foreach (var hop in feed.Hops) LookUp(hop, feed.File);
        requiredCount = leads.Count;
        if (feed.Origin is { Tapped: null })
            foreach (var member in MembersOf(feed.Origin)) LookUp(member, feed.File);
        var acts = ActsOf(feed.Acts);
        if (acts != feed.Acts && feed.DuringSpan is { Length: > 0 } during)
            bag.Add(new Draft(NameFindings.ReachesFurther("feed", feed.Name, foundation.Names(feed.Acts - acts)), feed.At(during))
            {
                FollowsFrom = [.. leads.Take(requiredCount).Select(l => Foundation.ActsOfTwo(l.Path.Steps[0].Name))],
            });
        SplitIntoParts(acts);
        foreach (var part in parts)
            variants.Add(feed.IsUnknown
                ? new FeedVariant(part, feed.Elements ?? Elements.One) { IsUnknown = true }
                : WorkerOn(feed.File, feed.Statement, part, bag).BindFeed(feed));
        return new FeedBinding(foundation, feed)
        {
            Variants = new Variants(CollectionsMarshal.AsSpan(variants)),
            Findings = Once(bag),
            FindingsOfActs = said,
            Dependencies = Outside(),
        };
    }

    public FeedBinding Bind(BundleSymbol bundle, IReadOnlyList<Draft>? said)
    {
        var bag = new DraftBag(said);
        leads.Clear();
        requiredCount = 0;
        foreach (var member in bundle.Members) LookUp(member, bundle.File);
        SplitIntoParts(bundle.Acts);
        foreach (var part in parts) variants.Add(WorkerOn(bundle.File, bundle.Statement, part, bag).BindBundle(bundle));
        return new FeedBinding(foundation, bundle)
        {
            Variants = new Variants(CollectionsMarshal.AsSpan(variants)),
            Findings = Once(bag),
            FindingsOfActs = said,
            Dependencies = Outside(),
        };
    }

    public FeedBinding Bind(InsertStatement insert, ActSet declared)
    {
        var bag = new DraftBag();
        leads.Clear();
        LookUp(insert.Point, insert.File);
        LookUp(insert.Send, insert.File);
        foreach (var hop in insert.Hops) LookUp(hop, insert.File);
        requiredCount = leads.Count;
        var acts = ActsOf(declared);
        SplitIntoParts(acts);
        foreach (var part in parts) variants.Add(WorkerOn(insert.File, insert.Statement, part, bag).BindInsert(insert));
        return new FeedBinding(foundation, insert.Statement)
        {
            Variants = new Variants(CollectionsMarshal.AsSpan(variants)),
            Findings = Once(bag),
            Dependencies = Outside(),
        };
    }

    private Work WorkerOn(PlanFile file, Statement statement, ActSet part, DraftBag bag)
    {
        var points = 0;
        foreach (var variant in variants) points += variant.Points;
        return (worker ??= new Work(this)).On(file, statement, part, bag, points);
    }

    /// <summary>A bag that starts with earlier findings. Most bags stay empty, and an empty one is reused.</summary>
    private DraftBag BagWith(IReadOnlyList<Draft>? said)
    {
        if (said is not null) return new DraftBag(said);
        if (!spare.IsEmpty) spare = new DraftBag();
        return spare;
    }

    private void LookUp(PathExpression path, PlanFile file) => leads.Add(paths.Lead(path, file));

    private void LookUp(PickExpression pick, PlanFile file)
    {
        LookUp(pick.Path, file);
        if (pick.At is { } at) LookUp(at, file);
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

    /// <summary>The acts in which everything that a statement needs exists.</summary>
    private ActSet ActsOf(ActSet declared)
    {
        var acts = declared;
        foreach (ref readonly var lead in CollectionsMarshal.AsSpan(leads)[..requiredCount])
        {
            if (lead.Named is not { } named) continue;
            var there = ActSet.None;
            foreach (var symbol in named) there |= bindingOf(symbol)?.Acts ?? symbol.Acts;
            acts &= there;
        }
        return acts;
    }

    /// <summary>Splits acts into sets, in each of which all names mean the same.</summary>
    private void SplitIntoParts(ActSet acts)
    {
        parts.Clear();
        variants.Clear();
        if (acts.IsEmpty) return;
        parts.Add(acts);
        if (acts.Count == 1) return;
        foreach (var change in rig.Changes) ActClasses.Split(parts, change);
        foreach (ref readonly var lead in CollectionsMarshal.AsSpan(leads))
        {
            if (lead.Named is not { } named) continue;
            foreach (var symbol in named)
            {
                ActClasses.Split(parts, symbol.Acts);
                if (bindingOf(symbol) is not { } binding) continue;
                foreach (var variant in binding.Variants) ActClasses.Split(parts, variant.Acts);
            }
        }
        if (parts.Count > 1) parts.Sort((a, b) => a.First.CompareTo(b.First));
    }

    private ImmutableArray<Dependency> Outside()
    {
        var count = 0;
        foreach (ref readonly var lead in CollectionsMarshal.AsSpan(leads))
            if (lead.Named?.First is not UnitSymbol) count++;
        if (count == 0) return [];
        var outside = ImmutableArray.CreateBuilder<Dependency>(count);
        foreach (var lead in leads)
            if (lead.Named?.First is not UnitSymbol) outside.Add(new Dependency(lead.Path, BindingsOf(lead.Named)));
        return outside.MoveToImmutable();
    }

    /// <summary>Whether an earlier binding is still valid: the foundation is the same, and so is the meaning of every name it depends on.</summary>
    public bool StillHolds(FeedBinding binding, PlanFile file)
    {
        // A finding about an unknown name depends on all names, since it suggests the nearest. One about a name of the wrong sort
        // shows its declaration, though the binding does not otherwise depend on it.
        if (binding.Foundation != foundation) return false;
        foreach (var finding in binding.Findings)
            if (finding.Message.Kind == NameFindings.UnknownName || finding.Message.Kind == NameFindings.WrongSort) return false;
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

    private ImmutableArray<FeedBinding?> BindingsOf(Named? named) =>
        named is not { } some ? []
        : some.IsSingle ? ImmutableArray.Create(bindingOf(some.First))
        : [.. some.All.Select(bindingOf)];

    /// <summary>Reports once what is found in several parts of a feed's acts, and once a channel number that both ends of a hop lack.</summary>
    private static IReadOnlyList<Draft> Once(DraftBag bag)
    {
        if (bag.Drafts.Count < 2) return bag.Drafts;
        return [.. bag.Drafts.DistinctBy(d => d.Message.Kind == ChannelFindings.FullAtRate || d.Message.Kind == ChannelFindings.PastEnd
            ? (d.Message with { Text = Number(d) }, default)
            : (d.Message, d.At))];

        static string Number(Draft draft) => draft.At.Statement.Text.Slice(draft.At.Span.Start, draft.At.Span.Length).ToString();
    }

    /// <summary>Points that lead into the next hop together.</summary>
    /// <param name="Points">The points.</param>
    /// <param name="Places">The place of the hop that each goes to; null if each goes to the place of the same index.</param>
    /// <param name="Tap">The tap as written.</param>
    /// <param name="Gain">The gain written for them, in dB.</param>
    /// <param name="Alternatives">An object shared by branches that are alternatives of each other; else null.</param>
    private readonly record struct Branch(GraphPoint[] Points, int[]? Places, Tap Tap, double? Gain, object? Alternatives);

    /// <summary>A resolved origin: its elements, and where each ends.</summary>
    private readonly record struct Source(End[] Ends, Elements Elements, string[]? MemberNames, Tap Tap)
    {
        /// <summary>For each element, the feed it belongs to, and its index there.</summary>
        public (FeedVariant? Feed, int Element)[]? Members { get; init; }

        /// <summary>Whether nothing is known of it, not even its width.</summary>
        public bool IsUnknown { get; init; }
    }

    /// <summary>The work on one statement, in a set of acts throughout which it means the same.</summary>
    private sealed partial class Work
    {
        private readonly FeedBinder binder;
        private PlanFile file = null!;
        private Statement statement = null!;
        private ActSet acts;
        private DraftBag bag = null!;
        private readonly List<Edge> edges = [];
        private readonly List<Branch> branches = [];
        private readonly List<GraphPoint[]> stops = [];
        private readonly LentRows<GraphPoint> pointRows = new();
        private readonly LentRows<End> endRows = new();
        private Target?[] hopTargets = new Target?[4];
        private readonly KnownHops knownHops = new();
        private readonly HopSet hopSet;
        private List<int>? unknownInto;
        private bool isWidthSaid;
        private int widthSaid;
        private long pointsBefore;
        private long pointCount;
        private List<GraphPoint[]>? filledIn;
        private HashSet<int>? filledInStops;
        private bool keepsFilledIn;

        // What is being joined: where signals are, and the points of the hop that they arrive at.
        private Branch branch;
        private GraphPoint[] arriving = [];

        public Work(FeedBinder binder)
        {
            this.binder = binder;
            hopSet = new HopSet(knownHops, isFilledIn: false);
        }

        /// <summary>Starts work on a statement. All statements share one worker, so that its lists are allocated only once.</summary>
        /// <param name="file">The statement's file.</param>
        /// <param name="statement">The statement.</param>
        /// <param name="acts">Acts in which nothing about it differs.</param>
        /// <param name="bag">Takes what is wrong.</param>
        /// <param name="pointsBefore">How many points it has in other acts.</param>
        public Work On(PlanFile file, Statement statement, ActSet acts, DraftBag bag, int pointsBefore)
        {
            (this.file, this.statement, this.acts, this.bag, this.pointsBefore) = (file, statement, acts, bag, pointsBefore);
            pointCount = 0;
            knownHops.Begin();
            pointRows.TakeBack();
            endRows.TakeBack();
            edges.Clear();
            branches.Clear();
            stops.Clear();
            filledInStops = null;
            unknownInto = null;
            isWidthSaid = false;
            widthSaid = 0;
            return this;
        }

        public FeedVariant BindFeed(FeedSymbol feed)
        {
            var targets = ResolveHops(feed.Hops);
            if (feed.Origin is SumOrigin sum) return BindSum(feed, sum, targets);
            var next = targets.Length > 0 ? targets[0] : null;
            var source = feed.Origin switch
            {
                EitherOrigin either => Resolve(either, next),
                { Tapped: { } tapped } => Resolve(tapped, next),
                _ => null,
            };
            var elements = feed.Elements ?? (source is { IsUnknown: false } known ? known.Elements : WidthElements(targets));
            if (source is null or { IsUnknown: true }) Take(elements.Count);
            if (IsTooLarge) return TooLarge(feed.Elements);
            var ends = source is { IsUnknown: false } found ? found.Ends : UnknownEnds(elements.Count);
            if (ends.Length != elements.Count)
            {
                isWidthSaid = true;
                bag.Add(ChannelFindings.OriginWidth(feed.Name, elements.Count, ends.Length), At(feed.Origin!.Span), feed.Anchor, $"{feed.Name} has {Channels(elements.Count)}");
                ends = UnknownEnds(elements.Count);
            }
            else if (source is { IsUnknown: false, Elements: { AreSides: true } sides } && feed.Elements is { AreSides: true }) CheckSides(feed, elements, sides);
            var startsAtSocket = feed.Origin is { Tapped: not null } && binder.leads[0].Named?.First is UnitSymbol;
            if (targets.Length == 0)
                return new FeedVariant(acts, elements, [], [PointsOf(ends)])
                {
                    StartsAtSocket = startsAtSocket,
                    MemberNames = source?.MemberNames,
                    OwnEnds = ArePlain(ends) ? null : [.. ends],
                    Points = (int)pointCount,
                };
            Take((long)elements.Count * targets.Length);
            if (IsTooLarge) return TooLarge(elements);
            AddBranches(ends, null, source?.Tap ?? Tap.Unstated, null);
            stops.Add(branches is [{ Places: null } only] ? only.Points : PointsOf(ends));
            Travel(elements.Count, targets, feed.Hops, isInsert: false);
            return Made(elements, startsAtSocket);
        }

        private FeedVariant BindSum(FeedSymbol feed, SumOrigin sum, Span<Target?> targets)
        {
            var elements = feed.Elements ?? WidthElements(targets);
            var hops = feed.Hops;
            if (targets.Length == 0)
            {
                bag.Add(LooseEndFindings.SumNowhere(feed.Name), At(sum.Span));
                return new FeedVariant(acts, elements);
            }
            if (targets[0] is { } first && first.Socket.Sort != SocketSort.Bus && !first.Socket.IsBroken)
            {
                // The bus may be the next hop: the two have changed places, and the rest is taken as meant.
                var isSwapped = targets.Length > 1 && targets[1] is { Socket.Sort: SocketSort.Bus } bus && PointOn(bus, Side.Inner) is { IsUnknown: false } mixed && LeadsSwappedFrom(mixed, targets);
                bag.Add(new Draft(FormatFindings.SumNeedsBus($"{first.Row[0].Name}.{first.Socket.Name}"), At(first.Span))
                {
                    Related = [(At(sum.Span), "the sum")],
                    Fixes = isSwapped ? [Swap(feed.Hops[0].Span, feed.Hops[1].Span)] : [],
                });
                if (isSwapped)
                {
                    (targets[0], targets[1]) = (targets[1], targets[0]);
                    hops = (PathExpression[])[hops[1], hops[0], .. hops[2..]];
                }
                else targets[0] = null;
            }
            Take((long)elements.Count * (targets.Length - 1));
            inSum.Clear();
            for (var i = 0; i < sum.Members.Length; i++)
            {
                if (IsTooLarge) return TooLarge(elements);
                AddMember(sum, i, feed, elements, targets[0]);
            }
            Travel(elements.Count, targets, hops, isInsert: false);
            return Made(elements);
        }

        public FeedVariant BindBundle(BundleSymbol bundle)
        {
            var ends = new List<End>();
            var names = new List<string>();
            var members = new List<(FeedVariant? Feed, int Element)>();
            var seen = new HashSet<(FeedVariant, int)>();
            var isUnknown = bundle.Members.IsEmpty; // its statement has a syntax error
            var sides = true;
            foreach (var member in bundle.Members)
            {
                if (IsTooLarge) return TooLarge(null);
                if (Resolve(new TappedExpression(member, Tap.Unstated, default), null, keepsAbsent: true) is not { } source || source.IsUnknown)
                {
                    isUnknown = true;
                    continue;
                }
                for (var i = 0; i < source.Ends.Length; i++)
                {
                    var name = source.MemberNames?[i] ?? (source.Elements.IsIndexed ? source.Elements.NameOf(i) : member.Path.Steps[^1].Name);
                    if (source.Members?[i] is { Feed: { } feed, Element: var element } && !seen.Add((feed, element)))
                    {
                        bag.Add(new Draft(NameFindings.TwiceInBundle(name == source.Elements.NameOf(i) ? member.Path.Steps[^1].Name : name, bundle.Name), At(member.Span)) { FollowsFrom = [Foundation.UnknownActs] });
                        break;
                    }
                    sides &= Sides.IsSide(name);
                    names.Add(name);
                    ends.Add(source.Ends[i]);
                    members.Add(source.Members?[i] ?? default);
                }
            }
            var elements = ends.Count == 0 ? Elements.One
                : sides && names.Distinct().Count() == names.Count ? Elements.Named([.. names])
                : Elements.Numbers(1, ends.Count);
            if (IsTooLarge) return TooLarge(null);
            return new FeedVariant(acts, elements)
            {
                IsUnknown = isUnknown,
                OwnEnds = ends.Count == 0 ? null : [.. ends],
                MemberNames = [.. names],
                Members = [.. members],
                Points = (int)pointCount,
            };
        }

        public FeedVariant BindInsert(InsertStatement insert)
        {
            var resolvedStrip = ResolveHop(insert.Point);
            var send = ResolveHop(insert.Send);
            var targets = new List<Target?> { send };
            targets.AddRange(ResolveHops(insert.Hops.AsSpan()));
            var width = resolvedStrip?.WidthOn(Side.Inner) ?? 1;
            var elements = width == 1 ? Elements.One : Elements.Numbers(1, width);
            if (resolvedStrip is not { } strip || targets.Exists(t => t is null)) return new FeedVariant(acts, elements);
            if (strip.Socket.Sort != SocketSort.Strip)
            {
                bag.Add(ChannelFindings.InsertNotOnStrip($"{strip.Row[0].Name}.{strip.Socket.Name}"), At(insert.Point.Span));
                return new FeedVariant(acts, elements);
            }
            var back = targets[^1]!.Value;
            if (insert.Hops.IsEmpty || back.Row[0].Outermost != strip.Row[0].Outermost || !back.Socket.Has(Side.In))
            {
                bag.Add(ChannelFindings.InsertStaysAway(strip.Row[0].Name), At(insert.Hops.IsEmpty ? insert.Send.Span : back.Span));
                return new FeedVariant(acts, elements);
            }
            targets.Add(strip);
            Take((long)width * (targets.Count + 1));
            if (IsTooLarge) return TooLarge(elements);
            var inside = PointsOf(strip, Side.Inner);
            stops.Add(inside);
            branches.Add(new Branch(inside, null, Tap.BeforeAll, null, null));
            Travel(width, [.. targets], [insert.Send, .. insert.Hops, insert.Point], isInsert: true);
            return Made(elements);
        }

        /// <summary>The result of the work on the statement.</summary>
        private FeedVariant Made(Elements elements, bool startsAtSocket = false) => IsTooLarge ? TooLarge(elements)
            : new(acts, elements, CollectionsMarshal.AsSpan(edges), CollectionsMarshal.AsSpan(stops))
            {
                StartsAtSocket = startsAtSocket,
                FilledInStops = filledInStops,
                UnknownInto = unknownInto,
                Points = (int)pointCount,
            };

        /// <summary>Counts points before they are made, so that too many are never made.</summary>
        private void Take(long count) => pointCount += count;

        /// <summary>Whether there is room for this many more points.</summary>
        private bool Fits(long count) => pointsBefore + pointCount + count <= binder.mostPoints;

        /// <summary>Whether it alone has more points than a whole plan may have.</summary>
        private bool IsTooLarge => !Fits(0);

        /// <summary>A variant that is left unknown as it is too large, which has a finding.</summary>
        private FeedVariant TooLarge(Elements? elements)
        {
            bag.Add(ChannelFindings.SignalTooLarge(pointsBefore + pointCount, binder.mostPoints), Anchors.OpenerOf(statement));
            return new FeedVariant(acts, elements ?? Elements.One) { IsUnknown = true };
        }

        private Anchor At(TextSpan span) => new(statement, span);

        private static string Channels(int count) => count == 1 ? "1 channel" : $"{count} channels";
    }
}
