using CsCheck;
using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Tests.Graph;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Facts;

/// <summary>The facts of rigs made by chance: a general graph library, or plain counting of every way, gives the same.</summary>
public sealed class RandomFactsTests
{
    private const int Rigs = 300;
    private const double Rounding = 1e-12;

    [Fact]
    public void Each_hop_stands_once_behind_all_that_lead_to_it() =>
        ForEachView((graph, view, edges) =>
        {
            var order = view.Order;
            var told = new HashSet<(int, int)>();
            var left = new HashSet<int>();
            for (var i = 0; i < order.Count; i++)
            {
                told.Add((order.Froms[i], order.Tos[i])).Should().BeTrue();
                left.Add(order.Froms[i]);
                left.Should().NotContain(order.Tos[i]);
            }
            if (!order.HasCircles) told.Should().BeEquivalentTo(edges.Select(e => (graph.FromOf(e), graph.ToOf(e))).Distinct());
        });

    [Fact]
    public void Sound_arrives_after_the_shortest_and_the_longest_way() =>
        ForEachView((graph, view, edges) =>
        {
            if (view.Order.HasCircles) return;
            var shortest = OracleOf(graph, view, edges, d => d.Earliest).Shortest();
            var longest = OracleOf(graph, view, edges, d => d.Latest).Longest();
            foreach (var node in edges.Select(graph.ToOf))
            {
                view.ArrivalAt(node).Earliest.Should().BeApproximately(shortest[node], Rounding);
                view.ArrivalAt(node).Latest.Should().BeApproximately(longest[node], Rounding);
            }
        });

    [Fact]
    public void What_is_unknown_on_the_way_is_unknown_from_there_on_and_nothing_else_is() =>
        ForEachView((graph, view, edges) =>
        {
            if (view.Order.HasCircles) return;
            foreach (var node in edges.Select(graph.ToOf).Distinct())
            {
                var upstream = graph.Upstream([node], view.Acts);
                var unknown = edges.Where(e => upstream.Contains(graph.ToOf(e)) && !DelayOf(view, e).IsKnown).ToList();
                var arrival = view.ArrivalAt(node);
                arrival.IsKnown.Should().Be(unknown.Count == 0);
                if (unknown.Count > 0) unknown.Should().Contain(arrival.Unknown!.Value);
            }
        });

    [Fact]
    public void A_circle_of_signal_and_all_behind_it_is_unknown() =>
        ForEachView((graph, view, edges) =>
        {
            var inCircle = graph.Circles(view.Acts).SelectMany(c => c);
            var behind = graph.Downstream(inCircle, view.Acts);
            foreach (var node in edges.Select(graph.ToOf)) view.ArrivalAt(node).IsBroken.Should().Be(behind.Contains(node));
        });

    [Fact]
    public void Ways_rejoin_where_two_sources_of_a_point_share_one_upstream() =>
        ForEachView((graph, view, edges) =>
        {
            if (view.Order.HasCircles) return;
            var rejoining = edges.GroupBy(graph.ToOf).Where(g =>
            {
                var sources = g.Select(graph.FromOf).Distinct().Select(f => graph.Upstream([f], view.Acts)).ToArray();
                return Enumerable.Range(0, sources.Length).Any(i => Enumerable.Range(0, i).Any(j => sources[i].Overlaps(sources[j])));
            }).Select(g => g.Key);
            view.Rejoining.Where(s => s.Sort != SumSort.OwnMixer).Select(s => s.Node).Should().BeEquivalentTo(rejoining);
        });

    [Fact]
    public void Each_way_leads_from_where_ways_part_to_the_sum_and_takes_as_long_as_its_hops() =>
        ForEachView((graph, view, _) =>
        {
            foreach (var sum in view.Rejoining)
                foreach (var shared in sum.Shared)
                {
                    shared.Ways.Length.Should().BeGreaterThan(1);
                    shared.Ways.Select(w => w.Edges[^1]).Should().OnlyHaveUniqueItems();
                    // A way that stands for several is counted from the origin, which all of them share.
                    if (shared.Ways.Any(w => w.StandsForSeveral)) shared.Parting.Should().Be(shared.Origin);
                    else shared.Ways.Select(w => w.Edges[0]).Distinct().Should().HaveCountGreaterThan(1);
                    foreach (var way in shared.Ways)
                    {
                        graph.FromOf(way.Edges[0]).Should().Be(shared.Parting);
                        graph.ToOf(way.Edges[^1]).Should().Be(sum.Node);
                        for (var i = 1; i < way.Edges.Length; i++) graph.FromOf(way.Edges[i]).Should().Be(graph.ToOf(way.Edges[i - 1]));
                        var (earliest, latest) = (way.Edges.Sum(e => DelayOf(view, e).Earliest), way.Edges.Sum(e => DelayOf(view, e).Latest));
                        way.Delay.Earliest.Should().BeLessThanOrEqualTo(earliest + Rounding);
                        way.Delay.Latest.Should().BeGreaterThanOrEqualTo(latest - Rounding);
                        if (way.StandsForSeveral) continue;
                        way.Delay.Earliest.Should().BeApproximately(earliest, Rounding);
                        way.Delay.Latest.Should().BeApproximately(latest, Rounding);
                    }
                }
        });

    [Fact]
    public void The_rigs_have_sums_at_which_ways_rejoin_and_hops_that_nothing_is_said_of()
    {
        var (sums, several, unknown) = (0, 0, 0);
        ForEachView((_, view, edges) =>
        {
            Interlocked.Add(ref sums, view.Rejoining.Length);
            Interlocked.Add(ref several, view.Rejoining.Count(s => s.Shared.Any(o => o.Ways.Any(w => w.StandsForSeveral))));
            Interlocked.Add(ref unknown, edges.Count(e => !DelayOf(view, e).IsKnown));
        }, 5 * Rigs); // a few hundred may lack the rarest of the three
        sums.Should().BePositive();
        several.Should().BePositive();
        unknown.Should().BePositive();
    }

    private static Delay DelayOf(SignalView view, int edge) => view.Delays[edge];

    private static LatencyOracle OracleOf(SignalGraph graph, SignalView view, IEnumerable<int> edges, Func<Delay, double> time) =>
        new(edges.Select(e => (graph.FromOf(e), graph.ToOf(e), time(DelayOf(view, e)))));

    private static void ForEachView(Action<SignalGraph, SignalView, List<int>> check, int rigs = Rigs) =>
        RandomRig.Any.Sample(
            rig =>
            {
                var compilation = Compilation.Create(new SourceText("plan.rig", rig.Text), _ => FileReading.Failed(FileProblem.NotFound));
                var graph = compilation.Graph;
                foreach (var view in compilation.Facts.Views)
                    check(graph, view, [.. Enumerable.Range(0, graph.EdgeCount).Where(e => graph.ActsOf(e).Meets(view.Acts))]);
            },
            iter: rigs);
}
