using CsCheck;
using FluentAssertions;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Graph;

/// <summary>The rigs that the graph is held against say what they are meant to say.</summary>
public sealed class RandomRigTests
{
    [Fact]
    public void A_rig_made_by_chance_can_be_read() =>
        RandomRig.Any.Sample(rig => SyntaxTree.Parse(new SourceText("plan.rig", rig.Text)).Findings.Should().BeEmpty(), iter: 500);
}
