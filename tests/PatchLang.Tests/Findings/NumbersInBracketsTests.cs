using FluentAssertions;
using PatchLang.Benchmarks;
using Xunit;

namespace PatchLang.Tests.Findings;

/// <summary>Numbers in brackets that count nothing: which of them it is, and why.</summary>
public sealed class NumbersInBracketsTests
{
    [Theory]
    [InlineData("unit desk[1..4000000000] : Desk\nfeed talk : desk[1].line[1] -> desk[1].ch[1]", "4000000000 is too great a number: a plan has 4,000,000 channels at most")]
    [InlineData("unit desk : Desk\nfeed talk : desk.line[99999999999] -> desk.ch[1]", "99999999999 is too great a number: a plan has 4,000,000 channels at most")]
    [InlineData("unit desk : Desk\nfeed talk : desk.line[1.5] -> desk.ch[1]", "1.5 is no whole number: numbers in brackets count 1, 2, 3 and so on")]
    [InlineData("unit desk : Desk\nfeed talk : desk.line[0] -> desk.ch[1]", "numbers in brackets start at 1: there is no 0")]
    [InlineData("unit desk : Desk\nfeed talk[1..2] : desk.line[2..1] -> desk.ch[1..2]", "a range counts up: 1..2, not 2..1")]
    public void Are_told_by_themselves(string statements, string message) =>
        GeneratedPlan.Compile("format line { joins point_to_point  way one  time none }\ngear Desk { in line[4] : line  strip ch[4]  route line -> ch free }\n" + statements)
            .Findings.Should().ContainSingle().Which.Should().Match<PatchLang.Findings.Finding>(f => f.Code == "PL0311" && f.Message == message);

    /// <summary>The greatest number that can be read is an element like any other.</summary>
    [Fact]
    public void Count_up_to_the_greatest() =>
        GeneratedPlan.Compile("format line { joins point_to_point  way one  time none }\ngear Desk { in line[4] : line  strip ch[4]  route line -> ch free }\nunit desk[2147483646..2147483647] : Desk\nfeed talk : desk[2147483647].line[1] -> desk[2147483647].ch[1]\nfeed song[1..2] : desk[2147483646..2147483647].line[2] -> desk[2147483646..2147483647].ch[2]")
            .Findings.Should().BeEmpty();
}
