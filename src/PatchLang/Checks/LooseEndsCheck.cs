using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>Things declared and never used, feeds that end nowhere useful, and labels alike. Gives PL1101, PL1102 and PL1104.</summary>
internal static class LooseEndsCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var mentioned = new Lazy<HashSet<string>>(() => Mentioned(plan), LazyThreadSafetyMode.None);
        var expected = new Lazy<HashSet<string>>(() => Expected(plan), LazyThreadSafetyMode.None);
        CheckUnused(plan, mentioned, expected, bag);
        CheckEnds(plan, mentioned, expected, bag);
        CheckLabels(plan, bag);
    }

    /// <summary>
    /// The names mentioned by any statement other than their own declarations. A mention is enough, as a broken hop already has a
    /// finding, and what it would have used is not unused.
    /// </summary>
    private static HashSet<string> Mentioned(Plan plan)
    {
        var names = new HashSet<string>(StringComparer.Ordinal);
        var hasPrefixes = plan.Files.Uses.Any(u => u.Any(each => each.Prefix is not null));
        foreach (var binding in plan.Signals.Bindings)
            if (binding.Symbol is FeedSymbol feed)
            {
                if (feed.Origin?.Tapped is { } tapped) Pick(tapped.Pick);
                else
                    foreach (var path in FeedBinder.MembersOf(feed.Origin)) Path(path);
                foreach (var hop in feed.Hops) Path(hop);
                Units(FeedBinder.FeedSettings, feed.Settings, feed.Statement);
            }
            else if (binding.Symbol is BundleSymbol bundle)
                foreach (var member in bundle.Members) Pick(member);
        foreach (var (insert, _) in plan.Signals.Inserts)
        {
            Path(insert.Point);
            Path(insert.Send);
            foreach (var hop in insert.Hops) Path(hop);
        }
        var foundation = plan.Foundation;
        foreach (var cable in foundation.Cables)
        {
            Path(cable.From);
            Path(cable.To);
            if (cable.By is { } by) names.Add(by.Name);
        }
        foreach (var network in foundation.Networks)
        {
            foreach (var join in network.Joins) Path(join);
            if (network.TwinOf is { } twin) names.Add(twin.Name);
            Units(NetworkBinder.Settings, network.Settings, network.Statement);
        }
        foreach (var keeper in foundation.Timekeepers)
        {
            Path(keeper.Clock);
            foreach (var standby in keeper.Standbys) Path(standby);
        }
        foreach (var (file, statement) in plan.StatementsOf(NodeKind.Reserve))
            if (ReserveStatement.Read(file, statement) is { } reserve) Path(reserve.Point);
        // In a statement with errors, every word may be a mention.
        for (var f = 0; f < plan.Files.Trees.Length; f++)
            for (var i = 0; !plan.Files.Files[f].IsLibrary && i < plan.Files.Trees[f].Count; i++)
            {
                var statement = plan.Files.Trees[f][i];
                if (statement.IsClear) continue;
                using var reading = statement.Read();
                // The word after the keyword is the statement's own name, unless its kind declares none.
                for (var token = Declares(statement.Kind) ? 2 : 1; token < reading.TokenCount; token++)
                    if (reading.KindOf(token) == TokenKind.Name) names.Add(reading.TextOf(token).ToString());
            }
        return names;

        void Pick(PickExpression pick)
        {
            Path(pick.Path);
            if (pick.At is { } at) Path(at);
        }

        void Units(SettingVocabulary vocabulary, SettingTable settings, Statement statement)
        {
            foreach (var setting in vocabulary.NamingUnits)
                if (SettingVocabulary.NameIn(settings[setting], statement) is { } unit) names.Add(unit.Name);
        }

        void Path(PathExpression path)
        {
            names.Add(path.Steps[0].Name);
            if (hasPrefixes && path.Steps.Length > 1) names.Add(path.Steps[1].Name);
        }
    }

    private static void CheckUnused(Plan plan, Lazy<HashSet<string>> mentioned, Lazy<HashSet<string>> expected, DraftBag bag)
    {
        var foundation = plan.Foundation;
        foreach (var unit in foundation.Units)
            if (!IsOnSomeWay(plan, unit) && !mentioned.Value.Contains(unit.Name) && IsWhole(plan, unit)) Say(unit);
        foreach (var loom in foundation.Looms)
            if (!mentioned.Value.Contains(loom.Name) && !foundation.IsDuplicate(loom)) Say(loom);
        foreach (var network in foundation.Networks)
            if (network.Joins.IsEmpty && !mentioned.Value.Contains(network.Name) && network.Statement.IsClear) Say(network);
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Bundle))
            if (binding.Symbol is BundleSymbol bundle && !mentioned.Value.Contains(bundle.Name) && !expected.Value.Contains(bundle.Name)) Say(bundle);

        void Say(Symbol symbol)
        {
            if (!symbol.Statement.IsClear) return;
            bag.Add(new Draft(LooseEndFindings.NeverUsed(symbol.Sort, symbol.Name), symbol.Anchor) { FollowsFrom = [Foundation.MayBeMeant(symbol.Name), symbol is LoomSymbol ? MissingCables.Any : symbol is NetworkSymbol ? UnjoinedPorts.NoNetworkAtAll : Foundation.UnreadUse] });
        }
    }

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a feed that ends at a port where it should go on.</summary>
    public static string EndsAt(string port) => $"a feed ends at {port}";

    /// <summary>Whether a statement of this kind declares the name after its keyword.</summary>
    public static bool Declares(NodeKind kind) => kind is
        NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Unit or NodeKind.Network or NodeKind.Loom or NodeKind.Feed or NodeKind.Bundle;

    /// <summary>Whether a unit was made with all its cards: a unit that was not has a finding already, and is not also reported as unused.</summary>
    private static bool IsWhole(Plan plan, UnitSymbol unit) =>
        plan.Rig.DevicesOf(unit) is { IsEmpty: false } devices && devices[0].BrokenSlots.IsEmpty;

    /// <summary>Whether a signal passes through a unit: then some statement mentions it, and the names need not be collected.</summary>
    private static bool IsOnSomeWay(Plan plan, UnitSymbol unit)
    {
        foreach (var device in plan.Rig.DevicesOf(unit))
            for (var node = device.FirstNode; node < device.FirstNode + device.Model.NodeCount; node++)
                if (plan.Graph.IsUsed(node)) return true;
        return false;
    }

    /// <summary>The names that <c>expect</c> statements are about.</summary>
    private static HashSet<string> Expected(Plan plan)
    {
        var names = new HashSet<string>(StringComparer.Ordinal);
        foreach (var (file, statement) in plan.StatementsOf(NodeKind.Expect))
        {
            if (ExpectStatement.Read(file, statement) is not { } expect) continue;
            names.Add(expect.Subject.Path.Steps[0].Name);
            foreach (var other in expect.Others) names.Add(other.Steps[0].Name);
        }
        return names;
    }

    private static void CheckEnds(Plan plan, Lazy<HashSet<string>> mentioned, Lazy<HashSet<string>> expected, DraftBag bag)
    {
        var graph = plan.Graph;
        var idle = new List<FeedSymbol>();
        HashSet<string>? stuck = null;
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.NoHops | SignalTraits.LooseEnd))
        {
            if (binding.Symbol is not FeedSymbol feed) continue;
            if (feed.Hops.IsEmpty)
            {
                if (!mentioned.Value.Contains(feed.Name) && feed.Origin is not (null or SumOrigin) && !IsCarriedOn(graph, binding) && binding.Findings.Count == 0
                    && !expected.Value.Contains(feed.Name) && !plan.IsAllowed(LooseEndFindings.Unused.Code, feed.Statement)) idle.Add(feed);
                continue;
            }
            foreach (var variant in binding.Variants)
            {
                var loose = Loose(graph, variant);
                if (loose.IsUnknown) continue;
                if (feed.IsPublic || (stuck ??= Stuck(plan)).Contains(feed.Name)) break;
                var on = WayOn.Of(plan, variant, loose);
                var message = LooseEndFindings.StopsAt(feed.Name, loose.ToString(), plan.During(variant.Acts), loose.Side == Side.Out ? null : loose.Device.Unit.Name, on.Far.IsUnknown ? null : on.Far.ToString());
                bag.Add(new Draft(message, feed.At(feed.Hops[^1].Span))
                {
                    Acts = variant.Acts,
                    Explains = [EndsAt($"{loose.Device.Name}.{loose.Socket.Name}")],
                    Fixes = [.. on.Fixes(feed)],
                });
                break;
            }
        }
        if (idle.Count == 0) return;
        var first = idle[0];
        foreach (var each in idle)
            if (plan.Compare(each.Anchor, first.Anchor) < 0) first = each;
        bag.Add(new Draft(LooseEndFindings.SourcesIdle(idle.Count, first.Name), first.Anchor) { Severity = Severity.Note });
    }

    /// <summary>Feeds continued by another one whose own way is broken: they would lead on if that were mended.</summary>
    private static HashSet<string> Stuck(Plan plan)
    {
        var names = new HashSet<string>(StringComparer.Ordinal);
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Findings | SignalTraits.UnknownInto | SignalTraits.UnknownEnd))
            if (binding.Findings.Count > 0 || binding.Variants.Any(v => v.UnknownInto is not null || v.Ends.Any(e => e.IsUnknown && !e.IsAbsent)))
                names.UnionWith(StartsFrom(binding));
        if (names.Count == 0) return names;
        // What a bundle contains, or a feed without hops stands for, is continued along with it.
        var handsOn = plan.Signals.Pages.Near(SignalTraits.Bundle | SignalTraits.NoHops).Where(b => b.Symbol is BundleSymbol or FeedSymbol { Hops.IsEmpty: true }).ToList();
        for (var count = 0; count != names.Count;)
        {
            count = names.Count;
            foreach (var binding in handsOn)
                if (names.Contains(binding.Symbol!.Name)) names.UnionWith(StartsFrom(binding));
        }
        return names;
    }

    /// <summary>The names of the feeds that a bundle or feed takes its signals from.</summary>
    private static IEnumerable<string> StartsFrom(FeedBinding binding) => binding.Symbol switch
    {
        BundleSymbol bundle => bundle.Members.Select(m => m.Path.Steps[0].Name),
        FeedSymbol { Origin.Tapped: { } tapped } => [tapped.Pick.Path.Steps[0].Name],
        FeedSymbol feed => FeedBinder.MembersOf(feed.Origin).Select(m => m.Steps[0].Name),
        _ => [],
    };

    /// <summary>The first end of a feed at which its sound neither goes on nor may end.</summary>
    private static GraphPoint Loose(SignalGraph graph, FeedVariant variant)
    {
        foreach (var end in variant.Ends)
            if (graph.Rig.PointAt(end.Node) is { IsUnknown: false } point && !IsAPlace(point) && !GoesOn(graph, end.Node, variant.Acts)) return point;
        return default;
    }

    private static bool IsCarriedOn(SignalGraph graph, FeedBinding binding) =>
        binding.Variants.All(v => v.Ends.All(e => e.IsUnknown || graph.IsUsed(e.Node)));

    /// <summary>
    /// Whether sound may end here: at a strip, a listener, a recorder, or an input of a unit with which listeners mix for themselves.
    /// </summary>
    public static bool IsAPlace(GraphPoint point) =>
        point.Socket.MayBeLast || (point.Side == Side.In && MixesForItself(point.Device.Outermost.Model));

    private static bool MixesForItself(GearModel model) =>
        model.Routes.Any(r => r.Sort == RouteSort.Free && r.To.Any(t => t.Socket is { } to && to.Settings.Has("listener")));

    private static bool GoesOn(SignalGraph graph, int node, ActSet acts)
    {
        foreach (var edge in graph.OutOf(node))
            if (graph.ActsOf(edge).Meets(acts)) return true;
        return graph.UnknownSources.Contains(node);
    }

    private static void CheckLabels(Plan plan, DraftBag bag)
    {
        if (plan.Foundation.MayShareLabels)
        {
            var ofUnits = new Dictionary<string, Symbol>(plan.Foundation.Units.Count);
            foreach (var unit in plan.Foundation.Units) Check(unit, unit.Labels, ofUnits);
        }
        if (!plan.Signals.MayShareLabels) return;
        var ofFeeds = new Dictionary<string, Symbol>(plan.Signals.Bindings.Length);
        foreach (var binding in plan.Signals.Bindings)
            if (binding.Symbol is FeedSymbol feed) Check(feed, feed.Labels, ofFeeds);

        void Check(Symbol symbol, System.Collections.Immutable.ImmutableArray<string> labels, Dictionary<string, Symbol> seen)
        {
            for (var i = 0; i < labels.Length; i++)
            {
                if (seen.TryAdd(labels[i], symbol)) continue;
                var (first, second) = (seen[labels[i]], symbol);
                if (!first.Acts.Meets(second.Acts) || labels[i].Length == 0) continue;
                if (plan.Compare(first.Anchor, second.Anchor) > 0)
                {
                    bag.Add(LooseEndFindings.LabelsAlike(first.Sort, labels[i]), first.Anchor, second.Anchor, "the other");
                    continue;
                }
                bag.Add(LooseEndFindings.LabelsAlike(second.Sort, labels[i]), symbol.At(ExpressionReader.LabelSpan(symbol.Statement, i)), first.Anchor, "the other");
            }
        }
    }
}
