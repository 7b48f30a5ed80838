using CsCheck;
using FluentAssertions;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Graph;

public class RandomRigTests
{
    [Fact]
    public void A_rig_made_by_chance_can_be_read() =>
        RandomRig.Any.Sample(rig => { SyntaxTree.Parse(new SourceText("plan.rig", rig.Text)).Findings.Should().BeEmpty(); if (Environment.GetEnvironmentVariable("SHOW") is { } s) File.WriteAllText(s, rig.Text); }, iter: 500);
}
