using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Formatting;
using PatchLang.Syntax;
using Xunit;

namespace PatchLang.Tests.Library;

public sealed class SampleTests
{
    public static TheoryData<string> Files => [.. Samples.Files];

    [Fact]
    public void There_are_samples() => Samples.Files.Should().HaveCountGreaterThan(5);

    [Theory]
    [MemberData(nameof(Files))]
    public void A_sample_reads_without_findings(string path) =>
        SyntaxTree.Parse(Samples.Read(path)).Findings.Should().BeEmpty();

    [Theory]
    [MemberData(nameof(Files))]
    public void A_sample_is_tidy(string path) => Tidy.Edits(SyntaxTree.Parse(Samples.Read(path))).Should().BeEmpty();

    [Fact]
    public void The_large_plan_is_what_its_program_writes() =>
        Samples.Read("large/large.rig").Content.Should().Be(LargePlan.Write());

    [Fact]
    public void The_large_plan_has_ten_thousand_feeds_of_a_few_shapes()
    {
        var tree = SyntaxTree.Parse(Samples.Read("large/large.rig"));
        var feeds = Enumerable.Range(0, tree.Count).Select(i => tree[i]).Where(s => s.Kind == NodeKind.Feed).ToList();

        feeds.Should().HaveCount(100 * LargePlan.Stages);
        feeds.Select(f => f.Shape).Distinct().Should().HaveCountLessThan(10);
    }
}
