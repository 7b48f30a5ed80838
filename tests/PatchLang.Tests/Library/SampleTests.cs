using FluentAssertions;
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
}
