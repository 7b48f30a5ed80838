using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Private sound (click, cue, talkback) must never reach the end of a public feed, nor arrive by another way at the place where that feed
/// is heard. It is followed through every sum and alternative. Gives PL1304.
/// </summary>
internal static class PrivateCheck
{
    /// <summary>
    /// The most pairs of a private and a public feed reported for one place; beyond that, each private feed is reported once for the place.
    /// </summary>
    private const int MostPairs = 16;

    public static void Check(Plan plan, DraftBag bag)
    {
        var privates = plan.Signals.Pages.Near(SignalTraits.Private).Where(b => b.Symbol is FeedSymbol { IsPrivate: true }).ToArray();
        if (privates.Length == 0) return;
        var publics = plan.Signals.Pages.Near(SignalTraits.Public).Where(b => b.Symbol is FeedSymbol { IsPublic: true }).ToArray();
        var hiddenIn = new Dictionary<ActSet, HiddenSound>();
        var pairs = new Dictionary<string, int>(StringComparer.Ordinal);
        var told = new HashSet<(string Where, Symbol Private)>();
        var arrivals = new HashSet<(Symbol Private, Device Place)>(); // what was reported
        var looked = new HashSet<(ActSet, Device)>();
        foreach (var binding in publics)
        {
            var heard = (FeedSymbol)binding.Symbol!;
            var said = new HashSet<Symbol>(ReferenceEqualityComparer.Instance);
            foreach (var variant in binding.Variants)
                foreach (var act in variant.Acts.Each) CheckIn(act, variant, heard, said);
        }
        foreach (var binding in publics)
            foreach (var variant in binding.Variants)
                foreach (var place in PlacesOf(variant))
                    foreach (var act in variant.Acts.Each)
                        if (looked.Add((act, place))) CheckAt(act, place, (FeedSymbol)binding.Symbol!);

        HiddenSound Hidden(ActSet act)
        {
            if (!hiddenIn.TryGetValue(act, out var hidden)) hiddenIn.Add(act, hidden = new HiddenSound(privates, act));
            return hidden;
        }

        void CheckIn(ActSet act, FeedVariant variant, FeedSymbol heard, HashSet<Symbol> said)
        {
            var ends = variant.Ends.Where(e => !e.IsUnknown).Select(e => e.Node).ToList();
            var where = $"{act.Bits} {string.Join(' ', ends)}";
            ref var count = ref CollectionsMarshal.GetValueRefOrAddDefault(pairs, where, out _);
            if (count >= MostPairs) return; // every private feed that arrives here is already reported
            foreach (var (feed, nodes) in Hidden(act).Among(plan.Graph.Upstream(ends, act)))
            {
                if (said.Contains(feed)) continue;
                if (count >= MostPairs && told.Contains((where, feed)))
                {
                    foreach (var end in ends) arrivals.Add((feed, plan.Rig.PointOf(end).Device.Outermost));
                    continue;
                }
                foreach (var end in ends)
                {
                    if (plan.Graph.WayTo(end, nodes.Contains, act) is not { } way) continue;
                    count++;
                    told.Add((where, feed));
                    said.Add(feed);
                    arrivals.Add((feed, plan.Rig.PointOf(end).Device.Outermost));
                    var own = way.FindIndex(e => plan.Graph.FeedOf(e) == heard);
                    bag.Add(new Draft(
                        SafetyFindings.PublicHears(heard.Name, feed.Name, Words(way, end), plan.During(act)),
                        own < 0 ? heard.Anchor : plan.AnchorOf(way[own]))
                    {
                        Related = [(feed.Anchor, $"{feed.Name} is private"), (heard.Anchor, $"{heard.Name} is public")],
                        Acts = act,
                    });
                    break;
                }
            }
        }

        // Units in which every socket is a listener's: whatever arrives at one of their inputs is heard there.
        IEnumerable<Device> PlacesOf(FeedVariant variant) =>
            variant.Ends.Where(e => !e.IsUnknown).Select(e => plan.Rig.PointOf(e.Node).Device.Outermost).Distinct()
                .Where(d => d.Model.Slots.IsEmpty && d.Model.Sockets.All(s => s.Settings.Has("listener")));

        void CheckAt(ActSet act, Device place, FeedSymbol heard)
        {
            var inputs = place.Model.Sockets.SelectMany(s => Enumerable.Range(0, s.InCount).Select(c => place.NodeOf(s, Side.In, c)))
                .Where(n => plan.Graph.Into(n).Length > 0).ToList();
            foreach (var (feed, nodes) in Hidden(act).Among(plan.Graph.Upstream(inputs, act)))
            {
                if (arrivals.Contains((feed, place))) continue;
                foreach (var input in inputs)
                {
                    if (plan.Graph.WayTo(input, nodes.Contains, act) is not { } way) continue;
                    arrivals.Add((feed, place));
                    bag.Add(new Draft(
                        SafetyFindings.PublicPlaceHears(place.Name, heard.Name, feed.Name, Words(way, input), plan.During(act)),
                        way.Count > 0 ? plan.AnchorOf(way[^1]) : feed.Anchor)
                    {
                        Related = [(feed.Anchor, $"{feed.Name} is private"), (heard.Anchor, $"{heard.Name} is public")],
                        Acts = act,
                    });
                    break;
                }
            }
        }

        string Words(List<int> way, int end) => string.Join(" -> ", way.Select(e => plan.Rig.PointOf(plan.Graph.FromOf(e)).ToString()).Append(plan.Rig.PointOf(end).ToString()));
    }

    /// <summary>Which nodes carry the sound of which private feeds in an act.</summary>
    private sealed class HiddenSound
    {
        private readonly List<(FeedSymbol Feed, HashSet<int> Nodes)> feeds = [];
        private readonly Dictionary<int, List<int>> feedsAt = [];

        public HiddenSound(FeedBinding[] privates, ActSet act)
        {
            foreach (var binding in privates)
            {
                var feed = (FeedSymbol)binding.Symbol!;
                if (binding.In(act) is not { } variant) continue;
                var nodes = Heard.NodesOf(feed, variant).SelectMany(n => n).ToHashSet();
                foreach (var node in nodes)
                {
                    if (!feedsAt.TryGetValue(node, out var here)) feedsAt.Add(node, here = []);
                    here.Add(feeds.Count);
                }
                feeds.Add((feed, nodes));
            }
        }

        /// <summary>The feeds whose sound is at one of the nodes, in the order of the plan.</summary>
        public IEnumerable<(FeedSymbol Feed, HashSet<int> Nodes)> Among(HashSet<int> nodes)
        {
            var found = new SortedSet<int>();
            foreach (var node in nodes)
                if (feedsAt.TryGetValue(node, out var here)) found.UnionWith(here);
            return found.Select(f => feeds[f]);
        }
    }
}
