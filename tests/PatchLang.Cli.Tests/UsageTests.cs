using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class UsageTests : IDisposable
{
    private static readonly string[] Commands = ["check", "tidy", "explain", "trace", "clocks", "figures", "compare", "new", "complete"];
    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void Help_lists_every_command()
    {
        var outcome = session.Run("--help");

        outcome.ExitCode.Should().Be(0);
        foreach (var command in Commands) outcome.Output.Should().Contain($"\n  {command,-10} ");
    }

    [Fact]
    public void Every_command_teaches_with_examples()
    {
        foreach (var command in Commands)
        {
            var outcome = session.Run(command, "--help");

            outcome.ExitCode.Should().Be(0);
            outcome.Output.Should().StartWith($"patchlang {command}\n").And.Contain("\nExamples\n").And.Contain($"patchlang {command}");
            outcome.Lines.Should().OnlyContain(line => line.Length <= 100);
        }
    }

    [Fact]
    public void No_command_shows_the_help_and_is_a_wrong_use()
    {
        var outcome = session.Run();

        outcome.ExitCode.Should().Be(2);
        outcome.Output.Should().Be(session.Run("--help").Output);
    }

    [Theory]
    [InlineData("chek", "there is no command chek; did you mean check? patchlang --help tells how it is used.")]
    [InlineData("check --formt json", "there is no option --formt; did you mean --format? patchlang check --help tells how it is used.")]
    [InlineData("check --format yaml", "--format can't be yaml; it is text, json, sarif, github or junit. patchlang check --help tells how it is used.")]
    [InlineData("explain PL0101 PL0102", "PL0102 is one argument too many. patchlang explain --help tells how it is used.")]
    [InlineData("complete tcsh", "shell can't be tcsh; it is bash, zsh, fish or pwsh. patchlang complete --help tells how it is used.")]
    public void Wrong_use_is_one_line_and_exits_with_2(string line, string says)
    {
        session.Run(line.Split(' ')).Should().Be(new Outcome(2, "", $"patchlang: {says}\n"));
    }

    [Fact]
    public void Behind_two_dashes_all_is_a_path() =>
        session.Run("check", "--", "--odd.rig").Error.Should().Be("patchlang: --odd.rig: there is no such file\n");

    [Fact]
    public void A_path_may_begin_with_an_at_sign() =>
        session.With("@home.rig", "rig \"Home\"\n").Run("check", "@home.rig").ExitCode.Should().Be(0);

    [Fact]
    public void The_version_is_three_numbers() => session.Run("--version").Output.Should().MatchRegex(@"^\d+\.\d+\.\d+\n$");

    [Theory]
    [InlineData("patchlang che", "check")]
    [InlineData("patchlang check --form", "--format")]
    [InlineData("patchlang check --format s", "sarif")]
    [InlineData("patchlang compare --g", "--git")]
    [InlineData("patchlang compare --format m", "markdown")]
    [InlineData("patchlang explain PL130", "PL1301")]
    public void A_shell_can_ask_what_may_follow(string line, string completion)
    {
        session.Run($"[suggest:{line.Length}]", line).Lines.Should().Contain(completion);
    }

    [Theory]
    [InlineData("bash")]
    [InlineData("zsh")]
    [InlineData("fish")]
    [InlineData("pwsh")]
    public void Each_shell_has_a_script_that_asks(string shell)
    {
        var outcome = session.Run("complete", shell);

        outcome.ExitCode.Should().Be(0);
        outcome.Output.Should().Contain("patchlang \"[suggest:");
    }

    [Fact]
    public void A_fault_of_the_program_itself_is_one_line_that_asks_for_a_report()
    {
        session.OpenInput = () => throw new InvalidOperationException("no such luck");

        session.Run("check", "-").Should().Be(new Outcome(
            2, "", "patchlang: the program itself went wrong (InvalidOperationException: no such luck). Please report it, with the plan that makes it happen.\n"));

        session.Environment["PATCHLANG_TRACE"] = "1";
        session.Run("check", "-").Error.Should().Contain("   at ");
    }
}
