using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Where phantom power comes from and what it reaches. A feed that asks for it is supplied by the first input on its way that can, or else by one on
/// the way of a feed that continues it. From there, power flows back up the cables to the source, through legs of splits that pass it. That it must
/// not reach an output, a ribbon microphone or a second supply is common practice, no source. Gives PL1301 to PL1303.
/// </summary>
internal static class PhantomCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var work = new Work(plan, bag);
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Phantom))
            if (binding.Symbol is FeedSymbol { HasPhantom: true } feed) work.Ask(feed, binding);
        work.CheckUnasked();
        SupplyCheck.CheckPhantom(plan, work.Uses, bag);
    }

    /// <summary>What one supply reaches on its way back.</summary>
    /// <param name="Sources">The sources it reaches.</param>
    /// <param name="Blocked">A leg that does not pass phantom power; unknown if there is none.</param>
    /// <param name="Harm">The finding for what it could damage; null if nothing.</param>
    private sealed record Flow(List<int> Sources, GraphPoint Blocked, Draft? Harm);

    private sealed class Work(Plan plan, DraftBag bag)
    {
        private readonly Dictionary<int, List<(int Supply, FeedSymbol Feed, ActSet Acts)>> supplies = [];
        private readonly HashSet<int> settled = [];

        /// <summary>The supplies that reach a source, for <see cref="SupplyCheck"/>.</summary>
        public List<PhantomUse> Uses { get; } = [];

        private ILookup<Symbol, FeedBinding>? goingOn;

        /// <summary>The feeds that directly continue a feed: their inputs may supply the phantom power it asks for.</summary>
        private ILookup<Symbol, FeedBinding> GoingOn => goingOn ??= plan.Signals.Bindings
            .Where(b => b.Symbol is FeedSymbol { Origin.Tapped: not null })
            .SelectMany(b => From(b).Select(f => (From: f, Binding: b)))
            .ToLookup(p => p.From, p => p.Binding, ReferenceEqualityComparer.Instance as IEqualityComparer<Symbol>);

        private IEnumerable<Symbol> From(FeedBinding binding)
        {
            var feed = (FeedSymbol)binding.Symbol!;
            return (plan.Signals.Paths.Candidates(feed.Origin!.Tapped!.Value.Pick.Path, feed.File)?.All ?? []).Where(s => s is FeedSymbol);
        }

        public void Ask(FeedSymbol feed, FeedBinding binding)
        {
            var at = feed.At(feed.Settings["phantom"]!.Span);
            foreach (var variant in binding.Variants)
                for (var element = 0; element < variant.Ends.Length; element++)
                    if (Ask(feed, variant, element, at)) return;
        }

        /// <summary>Whether a finding was given.</summary>
        private bool Ask(FeedSymbol feed, FeedVariant variant, int element, Anchor at)
        {
            if (variant.StopCount == 0) return false;
            if (variant.IsBroken(element))
            {
                // The feed's way is unknown, and therefore so is its supply.
                if (variant.NodeAt(0, element) is >= 0 and var node) settled.Add(node);
                return false;
            }
            var start = plan.Rig.PointAt(variant.NodeAt(0, element));
            if (start.IsUnknown) return false;
            if (Supply(variant, element) is { } own) return Settle(feed, variant, own, Trace(own, variant.Acts, at), at);

            var tried = new List<(GraphPoint Supply, Flow Flow)>();
            foreach (var supply in Beyond(feed, variant.Acts))
            {
                var flow = Trace(supply, variant.Acts, at);
                if (flow.Harm is null && flow.Sources.Count > 0)
                {
                    settled.UnionWith(flow.Sources);
                    Uses.Add(new PhantomUse(supply.Node, flow.Sources, variant.Acts, at));
                    return false;
                }
                tried.Add((supply, flow));
            }
            if (tried.Count > 0) return Settle(feed, variant, tried[0].Supply, tried[0].Flow, at);
            settled.Add(start.Node);
            bag.Add(SafetyFindings.NothingSupplies(feed.Name, start.ToString()), at);
            return true;
        }

        private GraphPoint? Supply(FeedVariant variant, int element)
        {
            for (var stop = 0; stop < variant.StopCount; stop++)
                if (plan.Rig.PointAt(variant.NodeAt(stop, element)) is { IsUnknown: false, Side: Side.In } point && point.Socket.Settings.Has("phantom")) return point;
            return null;
        }

        /// <summary>The supplies on the ways of all feeds that continue a feed, directly or through others.</summary>
        private IEnumerable<GraphPoint> Beyond(FeedSymbol feed, ActSet acts)
        {
            var open = new Stack<Symbol>([feed]);
            var seen = new HashSet<Symbol>(ReferenceEqualityComparer.Instance) { feed };
            while (open.TryPop(out var at))
                foreach (var binding in GoingOn[at])
                {
                    if (!seen.Add(binding.Symbol!) || binding.In(acts) is not { } variant) continue;
                    for (var element = 0; element < variant.Ends.Length; element++)
                        if (Supply(variant, element) is { } supply) yield return supply;
                    open.Push(binding.Symbol!);
                }
        }

        private bool Settle(FeedSymbol feed, FeedVariant variant, GraphPoint supply, Flow flow, Anchor at)
        {
            settled.UnionWith(flow.Sources);
            if (flow.Harm is { } harm)
            {
                bag.Add(harm);
                return true;
            }
            foreach (var source in flow.Sources)
                if (SaidTwice(feed, source, supply, variant.Acts)) return true;
            if (flow.Sources.Count > 0) Uses.Add(new PhantomUse(supply.Node, flow.Sources, variant.Acts, at));
            if (flow.Sources.Count > 0 || flow.Blocked.IsUnknown) return false;
            settled.UnionWith(plan.Graph.Upstream([flow.Blocked.Node], variant.Acts));
            if (plan.Rig.BrokenEnds.Contains((supply.Device, supply.Socket))) return false; // what is plugged in there has its own finding
            bag.Add(SafetyFindings.Blocked(feed.Name, supply.ToString(), flow.Blocked.ToString(), OtherLeg(feed, flow.Blocked, variant.Acts)), at);
            return true;
        }

        /// <summary>
        /// A feed that takes another leg of the split, one that passes phantom power, to an input that can supply it; null if there is none.
        /// </summary>
        private SafetyFindings.OtherLeg? OtherLeg(FeedSymbol feed, GraphPoint blocked, ActSet acts)
        {
            foreach (var into in plan.Graph.Into(blocked.Node))
                foreach (var inner in plan.Graph.OutOf(plan.Graph.FromOf(into)))
                {
                    var leg = plan.Rig.PointOf(plan.Graph.ToOf(inner));
                    if (!leg.Socket.Settings.Has("passes_phantom")) continue;
                    foreach (var link in plan.Graph.OutOf(leg.Node))
                        if (plan.Graph.ActsOf(link).Meets(acts) && plan.Graph.FeedOf(link) is { } other && other != feed
                            && plan.Rig.PointOf(plan.Graph.ToOf(link)) is var input && input.Socket.Settings.Has("phantom"))
                            return new SafetyFindings.OtherLeg(other.Name, other.HasPhantom, input.ToString(), leg.ToString());
                }
            return null;
        }

        private bool SaidTwice(FeedSymbol feed, int source, GraphPoint supply, ActSet acts)
        {
            if (!supplies.TryGetValue(source, out var list)) supplies.Add(source, list = []);
            var other = list.Find(s => s.Supply != supply.Node && s.Acts.Meets(acts));
            // A second entry with the same supply and acts would give the same conflicts.
            if (!list.Exists(s => s.Supply == supply.Node && s.Acts == acts)) list.Add((supply.Node, feed, acts));
            if (other.Feed is null) return false;
            var (first, second) = plan.Compare(other.Feed.Anchor, feed.Anchor) < 0 ? (other.Feed, feed) : (feed, other.Feed);
            bag.Add(
                SafetyFindings.SuppliedTwice(plan.Rig.PointOf(source).ToString(), plan.Rig.PointOf(other.Supply).ToString(), supply.ToString(), plan.During(other.Acts & acts)),
                second.At(second.Settings["phantom"]!.Span), first.At(first.Settings["phantom"]!.Span), "the other supply");
            return true;
        }

        /// <summary>Follows phantom power from a supply back up the cables.</summary>
        private Flow Trace(GraphPoint supply, ActSet acts, Anchor at)
        {
            var open = new Stack<int>([supply.Node]);
            var seen = new HashSet<int>(open);
            var sources = new List<int>();
            GraphPoint blocked = default;
            while (open.TryPop(out var node))
            {
                var isPlugged = false;
                foreach (var edge in plan.Graph.Into(node))
                {
                    if (!plan.Graph.ActsOf(edge).Meets(acts) || !plan.Graph.HopOf(edge).IsLink) continue;
                    isPlugged = true;
                    var from = plan.Rig.PointOf(plan.Graph.FromOf(edge));
                    if (!seen.Add(from.Node)) continue;
                    var settings = from.Socket.Settings;
                    if (settings.Has("ribbon"))
                        return new Flow(sources, blocked, new Draft(SafetyFindings.IntoRibbon(from.ToString(), supply.ToString()), at) { Related = [(plan.AnchorOf(edge), "the way it gets there")] });
                    if (settings.Has("needs_phantom")) sources.Add(from.Node);
                    else if (settings.Has("passes_phantom"))
                    {
                        foreach (var inner in plan.Graph.Into(from.Node))
                            if (plan.Graph.ActsOf(inner).Meets(acts) && seen.Add(plan.Graph.FromOf(inner))) open.Push(plan.Graph.FromOf(inner));
                    }
                    else if (settings.Has("isolated") || IsPassive(from)) blocked = from;
                    else
                        return new Flow(sources, blocked, new Draft(SafetyFindings.IntoOutput(from.ToString(), supply.ToString()), at) { Related = [(plan.AnchorOf(edge), "the way it gets there")] });
                }
                // If the plan has nothing plugged into an input, that is where the microphone is.
                if (!isPlugged && plan.Rig.PointOf(node).Side == Side.In) sources.Add(node);
            }
            return new Flow(sources, blocked, null);
        }

        /// <summary>Reports sources that need phantom power where no feed asks for it.</summary>
        public void CheckUnasked()
        {
            var graph = plan.Graph;
            var said = new HashSet<(int Owner, Hop)>();
            (int Owner, Hop?) last = default;
            foreach (var edge in graph.Signals.EdgesNear(SignalTraits.NeedsPhantom))
            {
                var hop = graph.OwnHopOf(edge);
                if (!hop.Hop.IsLink || (hop == last && said.Contains(hop))) continue;
                last = hop;
                var point = plan.Rig.PointOf(graph.FromOf(edge));
                if (!point.Socket.Settings.Has("needs_phantom") || settled.Contains(point.Node) || !said.Add(hop)) continue;
                bag.Add(SafetyFindings.NobodyAsks(point.ToString()), plan.AnchorAt(edge, point.Node));
            }
        }
    }

    /// <summary>Whether an output is a leg of gear without electronics, which blocks phantom power and is not harmed by it.</summary>
    private static bool IsPassive(GraphPoint point)
    {
        var model = point.Device.Outermost.Model;
        if (!model.Clocks.IsEmpty || model.Sockets.Any(s => s.IsInner || s.Format is { IsDigital: true })) return false;
        return model.Routes.Any(r => r.Sort != RouteSort.Free && r.To.Any(t => t.Socket == point.Socket || t.IsAny));
    }
}
