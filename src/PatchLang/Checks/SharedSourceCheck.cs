using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Two feeds that start at one socket are one source taken two ways, unless different microphones or stands are written for them. Gives PL0306.
/// </summary>
internal static class SharedSourceCheck
{
    private static readonly string[] Gear = ["mic", "stand"];

    private readonly record struct Start(FeedSymbol Feed, FeedVariant Variant, int Element)
    {
        public string Name => Variant.Elements.IsIndexed ? $"{Feed.Name}[{Variant.Elements.NameOf(Element)}]" : Feed.Name;
    }

    public static void Check(Plan plan, DraftBag bag)
    {
        var startsAt = new Dictionary<int, List<Start>>();
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.SourceGear))
        {
            if (binding.Symbol is not FeedSymbol feed || !Array.Exists(Gear, feed.Settings.Has)) continue;
            foreach (var variant in binding.Variants)
                for (var element = 0; variant.StartsAtSocket && element < variant.Elements.Count; element++)
                    if (variant.NodeAt(0, element) is >= 0 and var node && plan.Graph.Into(node).Length == 0) // otherwise the sound there is another feed's
                    {
                        if (!startsAt.TryGetValue(node, out var starts)) startsAt.Add(node, starts = []);
                        starts.Add(new Start(feed, variant, element));
                    }
        }
        var said = new HashSet<(FeedSymbol, FeedSymbol)>();
        foreach (var (node, starts) in startsAt)
            if (starts.Count > 1) CheckAt(node, starts);

        void CheckAt(int node, List<Start> starts)
        {
            starts.Sort((a, b) => plan.Compare(a.Feed.Anchor, b.Feed.Anchor));
            var known = new List<Start>(); // those that differ; a start that equals one of them need not be compared again
            foreach (var start in starts)
            {
                var other = known.Find(k => k.Feed != start.Feed && k.Variant.Acts.Meets(start.Variant.Acts) && Difference(k.Feed, start.Feed) is not null);
                if (other.Feed is not null) Say(node, other, start);
                if (!known.Exists(k => k.Variant.Acts == start.Variant.Acts && Array.TrueForAll(Gear, name => TextOf(k.Feed, name) == TextOf(start.Feed, name)))) known.Add(start);
            }
        }

        void Say(int node, Start first, Start second)
        {
            if (!said.Add((first.Feed, second.Feed))) return;
            var differs = Difference(first.Feed, second.Feed)!;
            var point = plan.Rig.PointOf(node);
            var acts = first.Variant.Acts & second.Variant.Acts;
            bag.Add(new Draft(
                ChannelFindings.TwoAtOneSource(
                    point.ToString(), $"{point.Device.Name}.{point.Socket.Name}", first.Name, second.Name,
                    differs, TextOf(first.Feed, differs)!, TextOf(second.Feed, differs)!, plan.During(acts)),
                second.Feed.At(second.Feed.Origin!.Span))
            {
                Related = [(first.Feed.At(first.Feed.Origin!.Span), "the other source")],
                Acts = acts,
            });
        }
    }

    /// <summary>A setting that both feeds state differently.</summary>
    private static string? Difference(FeedSymbol one, FeedSymbol other) =>
        Array.Find(Gear, name => TextOf(one, name) is { } its && TextOf(other, name) is { } others && !its.Equals(others, StringComparison.OrdinalIgnoreCase));

    private static string? TextOf(FeedSymbol feed, string name) => feed.Settings[name]?.Text?.Trim();
}
