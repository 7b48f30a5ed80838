using CsCheck;
using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Graph;

/// <summary>The signal graph of rigs made by chance: it has the hops that were written, and a general graph library answers the same about it.</summary>
public sealed class RandomRigTests
{
    private const int Rigs = 300;

    [Fact]
    public void Every_hop_that_was_written_is_an_edge_and_there_is_no_other() =>
        RandomRig.Any.Sample(
            rig =>
            {
                var graph = Compile(rig).Graph;
                for (var act = 0; act < rig.ActCount; act++)
                    Edges(graph, act).Select(e => (Written(graph, e.From), Written(graph, e.To))).Distinct()
                        .Should().BeEquivalentTo(rig.Hops.Where(h => h.Act == act).Select(h => (Written(h.From), Written(h.To))));
            },
            iter: Rigs);

    [Fact]
    public void The_only_errors_are_circles_of_signal_and_each_rig_that_has_one_says_so() =>
        RandomRig.Any.Sample(
            rig =>
            {
                var compilation = Compile(rig);
                var isCircular = Enumerable.Range(0, rig.ActCount).Any(act => !OracleOf(compilation.Graph, act).IsAcyclic);

                compilation.Findings.Where(f => f.Severity == Severity.Error).Select(f => f.Kind).Distinct()
                    .Should().BeEquivalentTo(isCircular ? [ChannelFindings.Feedback] : Array.Empty<FindingKind>());
            },
            iter: Rigs);

    [Fact]
    public void Circles_are_the_strong_components() =>
        RandomRig.Any.Sample(
            rig =>
            {
                var graph = Compile(rig).Graph;
                for (var act = 0; act < rig.ActCount; act++)
                    graph.Circles(ActSet.Of(act)).Select(c => string.Join(' ', c.Order()))
                        .Should().BeEquivalentTo(OracleOf(graph, act).Circles().Select(c => string.Join(' ', c)));
            },
            iter: Rigs);

    [Fact]
    public void What_is_heard_where_is_what_can_be_reached() =>
        RandomRig.Any.Sample(
            rig =>
            {
                var graph = Compile(rig).Graph;
                for (var act = 0; act < rig.ActCount; act++)
                {
                    var oracle = OracleOf(graph, act);
                    var reversed = oracle.Reversed();
                    foreach (var node in Used(graph))
                    {
                        graph.Downstream([node], ActSet.Of(act)).Should().BeEquivalentTo(oracle.DistancesFrom(node).Keys);
                        graph.Upstream([node], ActSet.Of(act)).Should().BeEquivalentTo(reversed.DistancesFrom(node).Keys);
                    }
                }
            },
            iter: Rigs / 3);

    [Fact]
    public void A_way_is_as_short_as_can_be() =>
        RandomRig.Any.Sample(
            rig =>
            {
                var graph = Compile(rig).Graph;
                for (var act = 0; act < rig.ActCount; act++)
                {
                    var oracle = OracleOf(graph, act);
                    var used = Used(graph);
                    foreach (var start in used)
                    {
                        var distances = oracle.DistancesFrom(start);
                        foreach (var end in used)
                        {
                            var way = graph.WayTo(end, node => node == start, ActSet.Of(act));
                            way?.Count.Should().Be(distances[end]);
                            (way is not null).Should().Be(distances.ContainsKey(end));
                        }
                    }
                }
            },
            iter: Rigs / 3);

    private static Compilation Compile(RandomRig rig) =>
        Compilation.Create(new SourceText("plan.rig", rig.Text), _ => FileReading.Failed(FileProblem.NotFound));

    private static Oracle OracleOf(SignalGraph graph, int act) => new(graph.NodeCount, Edges(graph, act));

    private static IEnumerable<(int From, int To)> Edges(SignalGraph graph, int act) =>
        Enumerable.Range(0, graph.EdgeCount).Where(e => graph.ActsOf(e).Has(act)).Select(e => (graph.FromOf(e), graph.ToOf(e)));

    private static int[] Used(SignalGraph graph) => [.. Enumerable.Range(0, graph.NodeCount).Where(graph.IsUsed)];

    private static string Written(SignalGraph graph, int node)
    {
        var point = graph.Rig.PointOf(node);
        return $"{point.Device.Index + 1} {point.Socket.Name} {point.Side} {point.Channel + 1}";
    }

    private static string Written(RandomRig.Place place) => place.Sort switch
    {
        RandomRig.Sort.Input => $"{place.Unit} a {Side.In} {place.Channel}",
        RandomRig.Sort.Output => $"{place.Unit} z {Side.Out} {place.Channel}",
        RandomRig.Sort.Strip => $"{place.Unit} ch {Side.Inner} {place.Channel}",
        RandomRig.Sort.Bus => $"{place.Unit} mix {Side.Inner} {place.Channel}",
        RandomRig.Sort.NetworkIn => $"{place.Unit} net {Side.In} {place.Channel}",
        _ => $"{place.Unit} net {Side.Out} {place.Channel}",
    };
}
