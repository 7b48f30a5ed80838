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

    // Hints are let pass: one sample shows how a hint is allowed, and the reader is told to take that away.
    [Theory]
    [InlineData("ten-minutes/ten-minutes.rig")]
    [InlineData("lantern-quay/lantern-quay.rig")]
    [InlineData("studio-without-desk/studio-without-desk.rig")]
    [InlineData("large/large.rig")]
    public void A_sample_that_is_to_be_clean_is_clean(string path) =>
        Samples.Compile(path).Findings.Select(f => $"{f.Code} {f.Place.Source.Path}: {f.Message}").Should().BeEmpty();

    // What the ten minutes tell the reader to break, broken.
    [Theory]
    [InlineData("rate 48 kHz", "rate 48", "PL0107")]
    [InlineData(": StageRack(16, 8)", ": StageRak(16, 8)", "PL0201")]
    [InlineData("rack.net, desk.expansion.net\n", "rack.net\n", "PL0402")]
    [InlineData("twisted_pair 8 m", "fibre 8 m", "PL0408")]
    [InlineData("follow desk.expansion from host\n", "\n", "PL0501")]
    [InlineData("desk.expansion.net[2] -> desk.ch[2]", "desk.expansion.net[2] -> desk.ch[1]", "PL0306")]
    [InlineData("sum(band after fader)", "sum(band after fader, talkback after fader)", "PL1304")]
    [InlineData("sum(lead before fader, fiddle", "sum(fiddle", "PL1001")]
    [InlineData("rack.mic[10, 9]", "rack.mic[16, 15]", "PL0901")]
    [InlineData("allow PL0310 \"the guest's lines come from the other side\"\n", "", "PL0310")]
    public void Breaking_the_ten_minutes_gives_the_finding_that_the_reader_is_to_see(string sound, string broken, string code)
    {
        var plan = Samples.Read("ten-minutes/ten-minutes.rig").Content;
        plan.Should().Contain(sound);

        Samples.Compile("ten-minutes/ten-minutes.rig", text => text.Replace(sound, broken))
            .Findings.Select(f => f.Code).Should().Contain(code);
    }

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
