using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Two feeds that begin at one socket are one source carried two ways, unless what is written for them says that they are two:
/// another microphone or stand, or another label. Gives PL0306: an error, or a hint where labels alone differ.
/// </summary>
internal static class SharedSourceCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var said = new HashSet<(FeedSymbol, FeedSymbol)>();
        foreach (var node in graph.Partings)
        {
            if (graph.Into(node).Length > 0) continue; // what comes in there is another feed's matter
            var starts = StartsAt(graph, node);
            for (var j = 1; j < starts.Count; j++)
                for (var i = 0; i < j; i++)
                    if (starts[i].Feed != starts[j].Feed && starts[i].Variant.Acts.Meets(starts[j].Variant.Acts) && Say(node, starts[i], starts[j])) break;
        }

        bool Say(int node, Start one, Start other)
        {
            if (Difference(one.Feed, other.Feed, "mic") is null && Difference(one.Feed, other.Feed, "stand") is null && !AreNamedApart(one, other)) return false;
            var (first, second) = plan.Compare(one.Feed.Anchor, other.Feed.Anchor) <= 0 ? (one, other) : (other, one);
            if (!said.Add((first.Feed, second.Feed))) return true;
            var point = plan.Rig.PointOf(node);
            var acts = first.Variant.Acts & second.Variant.Acts;
            var during = plan.During(acts);
            var port = $"{point.Device.Name}.{point.Socket.Name}";
            var differs = Difference(first.Feed, second.Feed, "mic") ?? Difference(first.Feed, second.Feed, "stand");
            bag.Add(new Draft(
                differs is var (name, its, others)
                    ? ChannelFindings.TwoAtOneSource(point.ToString(), port, first.Name, second.Name, name, its, others, during)
                    : ChannelFindings.TwoNamesOfOneSource(point.ToString(), port, first.Name, first.Label!, second.Name, second.Label!, during),
                second.Feed.At(second.Feed.Origin!.Span))
            {
                Related = [(first.Feed.At(first.Feed.Origin!.Span), "the other source")],
                Severity = differs is null ? Severity.Hint : null,
                Acts = acts,
            });
            return true;
        }
    }

    private readonly record struct Start(FeedSymbol Feed, FeedVariant Variant, int Element)
    {
        public string Name => Variant.Elements.IsIndexed ? $"{Feed.Name}[{Variant.Elements.NameOf(Element)}]" : Feed.Name;

        public string? Label => Feed.Labels switch
        {
            [] => null,
            [var only] => only,
            var each => Element < each.Length ? each[Element] : null,
        };
    }

    private static List<Start> StartsAt(SignalGraph graph, int node)
    {
        var starts = new List<Start>();
        foreach (var edge in graph.OutOf(node))
        {
            if (graph.FeedOf(edge) is not { } feed || graph.VariantOf(edge) is not { StartsAtSocket: true } variant) continue;
            for (var element = 0; element < variant.Elements.Count; element++)
                if (variant.NodeAt(0, element) == node) starts.Add(new Start(feed, variant, element));
        }
        return starts;
    }

    private static (string Name, string Its, string Others)? Difference(FeedSymbol one, FeedSymbol other, string name) =>
        one.Settings[name]?.Text is { } its && other.Settings[name]?.Text is { } others && !string.Equals(its.Trim(), others.Trim(), StringComparison.OrdinalIgnoreCase)
            ? (name, its, others)
            : null;

    /// <summary>Whether their labels differ by more than a few words that one has and the other lacks.</summary>
    private static bool AreNamedApart(Start one, Start other) =>
        one.Label is { Length: > 0 } its && other.Label is { Length: > 0 } others
        && !its.Contains(others, StringComparison.OrdinalIgnoreCase) && !others.Contains(its, StringComparison.OrdinalIgnoreCase);
}
