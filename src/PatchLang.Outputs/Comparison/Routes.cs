using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>One source of a point, as an operator sets it.</summary>
/// <param name="From">Where it comes from, as a number common to both plans.</param>
/// <param name="How">Its tap and gain in words; empty if the plan states neither.</param>
/// <param name="Slots">The acts.</param>
/// <param name="Edge">The edge for it in its own plan.</param>
internal readonly record struct RouteSource(int From, string How, UInt128 Slots, int Edge);

/// <summary>
/// The routes that operators set at the units of one plan: what feeds each output, strip, bus and receiving channel. Fixed routes are not included.
/// </summary>
internal sealed class Routes
{
    private readonly PlanSide side;
    private readonly Dictionary<int, List<RouteSource>> sourcesOf = [];
    private readonly Dictionary<Hop, string> words = new(ReferenceEqualityComparer.Instance as IEqualityComparer<Hop>);

    public Routes(PlanSide side)
    {
        this.side = side;
        var graph = side.Plan.Graph;
        for (var edge = 0; edge < graph.EdgeCount; edge++)
        {
            var hop = graph.HopOf(edge);
            if (!IsSet(hop)) continue;
            Add(side.Node(graph.ToOf(edge)), new RouteSource(side.Node(graph.FromOf(edge)), HowOf(hop), side.Slots(graph.ActsOf(edge)), edge));
        }
    }

    /// <summary>The points that are fed.</summary>
    public IEnumerable<int> Points => sourcesOf.Keys;

    /// <summary>What feeds a point, in order.</summary>
    public IReadOnlyList<RouteSource> SourcesOf(int point) => sourcesOf.TryGetValue(point, out var sources) ? sources : [];

    /// <summary>Whether an operator sets a hop.</summary>
    public static bool IsSet(Hop hop) => hop.Kind == HopKind.Network || (hop.Kind == HopKind.Route && (hop.IsInsert || hop.Route?.Sort != RouteSort.Fixed));

    /// <summary>The tap and gain of a hop in words.</summary>
    public string HowOf(Hop hop)
    {
        if (words.TryGetValue(hop, out var known)) return known;
        var parts = new List<string>();
        if (hop.Tap != Tap.Unstated) parts.Add(hop.Tap.Words());
        if (hop.Gain is { } gain) parts.Add($"{(gain > 0 ? "+" : "")}{Quantity.Number(gain)} dB");
        if (hop.Alternatives is not null) parts.Add("one of several at a time");
        if (hop.IsInsert) parts.Add("as an insert");
        known = string.Join(", ", parts);
        words.Add(hop, known);
        return known;
    }

    private void Add(int point, RouteSource source)
    {
        if (!sourcesOf.TryGetValue(point, out var sources))
        {
            sourcesOf.Add(point, [source]);
            return;
        }
        // Feeds of several acts that take the same route are one setting.
        for (var i = 0; i < sources.Count; i++)
        {
            if (sources[i].From != source.From || sources[i].How != source.How) continue;
            sources[i] = sources[i] with { Slots = sources[i].Slots | source.Slots };
            return;
        }
        sources.Add(source);
    }

    /// <summary>The titles of the signals that pass a point in some acts; at most a few.</summary>
    public ImmutableArray<string> SignalsAt(int number, UInt128 slots) =>
        side.Own(number) is >= 0 and var node ? [.. TitlesAt(node, slots).Distinct().Take(3)] : [];

    private IEnumerable<string> TitlesAt(int node, UInt128 slots)
    {
        var graph = side.Plan.Graph;
        var isFed = false;
        foreach (var edge in graph.Into(node).ToArray())
        {
            if ((side.Slots(graph.ActsOf(edge)) & slots) == 0) continue;
            isFed = true;
            yield return TitleOf(edge, node);
        }
        if (isFed) yield break;
        foreach (var edge in graph.OutOf(node).ToArray())
            if ((side.Slots(graph.ActsOf(edge)) & slots) != 0 && side.Plan.WayOf(edge).Origin is WayOrigin.Socket) yield return TitleOf(edge, node);
    }

    private string TitleOf(int edge, int node)
    {
        var way = side.Plan.WayOf(edge);
        if (way.Count == 1) return way.TitleOf(0);
        for (var element = 0; element < way.Count; element++)
            foreach (var stop in way.StopsOf(element))
                if (stop.Point.Node == node) return way.TitleOf(element);
        return way.Name;
    }
}
