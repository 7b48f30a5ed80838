using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class ExplainTests : IDisposable
{
    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void Every_code_has_a_page()
    {
        foreach (var kind in FindingCatalogue.All)
        {
            var outcome = session.Run("explain", kind.Code);

            outcome.ExitCode.Should().Be(0);
            outcome.Output.Should().StartWith(kind.Code).And.Contain("\nWhat to do\n").And.NotContain("```").And.NotContain("**");
        }
    }

    [Fact]
    public void Small_letters_will_do() => session.Run("explain", "pl0101").Output.Should().StartWith("PL0101: ");

    [Theory]
    [InlineData("501")]
    [InlineData("0501")]
    [InlineData("PL501")]
    [InlineData("pl0501:")] // as copied from a finding
    public void So_will_the_number_alone(string code) => session.Run("explain", code).Should().Be(session.Run("explain", "PL0501"));

    [Theory]
    [InlineData("PL05", "there are PL0501 to PL05")]
    [InlineData("13", "there are PL1301 to PL13")]
    [InlineData("599", "the nearest is PL0601, ")]
    [InlineData("clicks", "patchlang explain lists them all\n")]
    public void What_is_no_code_is_told_what_there_is(string code, string says)
    {
        var outcome = session.Run("explain", code);

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().StartWith($"patchlang: there is no finding {code}; {says}");
    }

    [Fact]
    public void Plans_on_a_page_are_indented_and_in_colour_painted()
    {
        session.Run("explain", "PL0101").Output.Should().Contain("\n    unit player   : Player\n");
        session.Run("explain", "PL0101", "--color", "always").Output.Should().Contain("\n    \e[32munit player   : Player\e[0m\n");
    }

    [Fact]
    public void An_unknown_code_gets_the_nearest()
    {
        var outcome = session.Run("explain", "PL0499");

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().StartWith("patchlang: there is no finding PL0499; the nearest is PL0501, ");
    }

    [Fact]
    public void Without_a_code_all_are_listed()
    {
        var outcome = session.Run("explain");

        outcome.ExitCode.Should().Be(0);
        outcome.Lines.Should().HaveCount(FindingCatalogue.All.Length);
        outcome.Lines[0].Should().Be("PL0101  error    unexpected text");
    }
}
