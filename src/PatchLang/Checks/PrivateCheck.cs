using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>Private sound (click, cue, talkback) never reaches the end of a public feed: it is followed through every sum and alternative. Gives PL1304.</summary>
internal static class PrivateCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var privates = plan.Signals.Pages.Near(SignalTraits.Private).Where(b => b.Symbol is FeedSymbol { IsPrivate: true }).ToArray();
        if (privates.Length == 0) return;
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Public))
        {
            if (binding.Symbol is not FeedSymbol { IsPublic: true } heard) continue;
            var said = new HashSet<Symbol>(ReferenceEqualityComparer.Instance);
            foreach (var variant in binding.Variants)
                foreach (var act in variant.Acts.Each) CheckIn(act, variant, heard, said);
        }

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
                    var points = way.Select(e => plan.Rig.PointOf(plan.Graph.FromOf(e)).ToString()).Append(plan.Rig.PointOf(end).ToString());
                    var own = way.FindIndex(e => plan.Graph.FeedOf(e) == heard);
                    bag.Add(new Draft(
                        SafetyFindings.PublicHears(heard.Name, feed.Name, string.Join(" -> ", points), plan.During(act)),
                        own < 0 ? heard.Anchor : plan.AnchorOf(way[own]))
                    {
                        Related = [(feed.Anchor, $"{feed.Name} is private"), (heard.Anchor, $"{heard.Name} is public")],
                        Acts = act,
                    });
                    break;
                }
            }
        }
    }
}
