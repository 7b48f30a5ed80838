using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Private sound (click, cue, talkback) never reaches the end of a public feed, nor the place it ends at by another way: it is
/// followed through every sum and alternative. Gives PL1304.
/// </summary>
internal static class PrivateCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var privates = plan.Signals.Pages.Near(SignalTraits.Private).Where(b => b.Symbol is FeedSymbol { IsPrivate: true }).ToArray();
        if (privates.Length == 0) return;
        var publics = plan.Signals.Pages.Near(SignalTraits.Public).Where(b => b.Symbol is FeedSymbol { IsPublic: true }).ToArray();
        var arrivals = new HashSet<(Symbol Private, Device Place)>(); // what was said
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
                    foreach (var act in variant.Acts.Each) CheckAt(act, place, (FeedSymbol)binding.Symbol!);

        void CheckIn(ActSet act, FeedVariant variant, FeedSymbol heard, HashSet<Symbol> said)
        {
            var ends = variant.Ends.Where(e => !e.IsUnknown).Select(e => e.Node).ToList();
            var upstream = plan.Graph.Upstream(ends, act);
            foreach (var binding in privates)
            {
                var feed = (FeedSymbol)binding.Symbol!;
                if (said.Contains(feed) || binding.In(act) is not { } hidden) continue;
                var nodes = Heard.NodesOf(feed, hidden).SelectMany(n => n).ToHashSet();
                if (!upstream.Overlaps(nodes)) continue;
                foreach (var end in ends)
                {
                    if (plan.Graph.WayTo(end, nodes.Contains, act) is not { } way) continue;
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

        // Units that are nothing but a place where somebody listens: what comes in by any socket of one is heard there.
        IEnumerable<Device> PlacesOf(FeedVariant variant) =>
            variant.Ends.Where(e => !e.IsUnknown).Select(e => plan.Rig.PointOf(e.Node).Device.Outermost).Distinct()
                .Where(d => d.Model.Slots.IsEmpty && d.Model.Sockets.All(s => s.Settings.Has("listener")));

        void CheckAt(ActSet act, Device place, FeedSymbol heard)
        {
            var inputs = place.Model.Sockets.SelectMany(s => Enumerable.Range(0, s.InCount).Select(c => place.NodeOf(s, Side.In, c)))
                .Where(n => plan.Graph.Into(n).Length > 0).ToList();
            foreach (var binding in privates)
            {
                var feed = (FeedSymbol)binding.Symbol!;
                if (arrivals.Contains((feed, place)) || binding.In(act) is not { } hidden) continue;
                var nodes = Heard.NodesOf(feed, hidden).SelectMany(n => n).ToHashSet();
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
}
