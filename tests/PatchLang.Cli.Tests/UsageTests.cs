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
    [InlineData("trace", "trace needs a point. patchlang trace --help tells how it is used.")]
    [InlineData("script", "script needs a script and a plan. patchlang script --help tells how it is used.")]
    [InlineData("script lists.csx", "script needs a plan. patchlang script --help tells how it is used.")]
    [InlineData("sheets", "sheets needs --to folder. patchlang sheets --help tells how it is used.")]
    [InlineData("check --format", "--format needs a value (text|json|sarif|github|junit). patchlang check --help tells how it is used.")]
    [InlineData("clocks --act", "--act needs a value (name). patchlang clocks --help tells how it is used.")]
    [InlineData("check --format json --format text", "--format is given 2 times, and takes one value. patchlang check --help tells how it is used.")]
    [InlineData("check --color never --color always", "--color is given 2 times, and takes one value. patchlang check --help tells how it is used.")]
    [InlineData("check --fix=maybe", "--fix takes no value. patchlang check --help tells how it is used.")]
    [InlineData("check --no-such=3", "there is no option --no-such. patchlang check --help tells how it is used.")]
    [InlineData("check --rules-time soon", "--rules-time is a number of seconds above 0, and an hour at most. patchlang check --help tells how it is used.")]
    [InlineData("check --rules-time 0", "--rules-time is a number of seconds above 0, and an hour at most. patchlang check --help tells how it is used.")]
    [InlineData("test-rules --rules-time NaN", "--rules-time is a number of seconds above 0, and an hour at most. patchlang test-rules --help tells how it is used.")]
    [InlineData("script lists.csx quay.rig --time 1e9", "--time is a number of seconds above 0, and an hour at most. patchlang script --help tells how it is used.")]
    [InlineData("-v", "there is no option -v; did you mean --version? patchlang --help tells how it is used.")]
    [InlineData("version", "there is no command version; did you mean --version? patchlang --help tells how it is used.")]
    [InlineData("check --version", "there is no option --version; did you mean patchlang --version? patchlang check --help tells how it is used.")]
    [InlineData("check -e", "there is no option -e; did you mean --expectations? patchlang check --help tells how it is used.")]
    [InlineData("check -f", "there is no option -f. patchlang check --help tells how it is used.")] // --fix or --format
    [InlineData("chek --help", "there is no command chek; did you mean check? patchlang --help tells how it is used.")]
    [InlineData("help chek", "there is no command chek; did you mean check? patchlang --help tells how it is used.")]
    public void Wrong_use_is_one_line_and_exits_with_2(string line, string says)
    {
        session.Run(line.Split(' ')).Should().Be(new Outcome(2, "", $"patchlang: {says}\n"));
    }

    /// <summary>As from a script whose variable is not set.</summary>
    [Theory]
    [InlineData("check", "", "an empty text is no plan. patchlang check --help tells how it is used.")]
    [InlineData("check", " ", "an empty text is no plan. patchlang check --help tells how it is used.")]
    [InlineData("explain", "", "an empty text is no code. patchlang explain --help tells how it is used.")]
    [InlineData("new", "", "an empty text is no folder. patchlang new --help tells how it is used.")]
    [InlineData("complete", "", "an empty text is no shell. patchlang complete --help tells how it is used.")]
    [InlineData("draw --to", "", "an empty text is no file for --to. patchlang draw --help tells how it is used.")]
    [InlineData("sheets --to", "", "an empty text is no folder for --to. patchlang sheets --help tells how it is used.")]
    [InlineData("check --rules", "", "an empty text is no file for --rules. patchlang check --help tells how it is used.")]
    public void An_empty_text_is_not_taken_for_this_folder(string line, string empty, string says)
    {
        session.With("quay.rig", "rig \"Quay\"\n");

        session.Run([.. line.Split(' '), empty]).Should().Be(new Outcome(2, "", $"patchlang: {says}\n"));
    }

    [Fact]
    public void Nor_for_a_command() =>
        session.Run("").Should().Be(new Outcome(2, "", "patchlang: an empty text is no command. patchlang --help tells how it is used.\n"));

    [Theory]
    [InlineData("--help", "help")]
    [InlineData("--help", "-h")]
    [InlineData("--help", "-?")]
    [InlineData("check --help", "help check")]
    [InlineData("check --help", "check -h")]
    [InlineData("check --help", "--help check")]
    public void Help_is_asked_for_in_several_ways(string written, string also) =>
        session.Run(also.Split(' ')).Should().Be(session.Run(written.Split(' ')));

    [Fact]
    public void What_begins_with_a_slash_is_a_path_and_no_option() =>
        session.Run("check", "/?").Error.Should().Be("patchlang: /?: there is no such file\n");

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
    [InlineData("patchlang explain pl130", "PL1301")]
    [InlineData("patchlang --color always che", "check")]
    [InlineData("patchlang check --format=j", "--format=junit")]
    [InlineData("patchlang check quay.rig --format=json --", "--fix")]
    [InlineData("patchlang complete ", "zsh")]
    public void A_shell_can_ask_what_may_follow(string line, string completion)
    {
        session.Run($"[suggest:{line.Length}]", line).Lines.Should().Contain(completion);
    }

    /// <summary>Where nothing is suggested, a shell offers files.</summary>
    [Theory]
    [InlineData("")]
    [InlineData("patchlang")]
    [InlineData("patchlang check ")]
    [InlineData("patchlang check quay")]
    [InlineData("patchlang check -- --f")]
    [InlineData("patchlang draw --to ")]
    [InlineData("patchlang trace lead ")]
    [InlineData("patchlang explain PL0101 ")]
    [InlineData("patchlang chek ")]
    public void And_is_told_nothing_where_a_file_or_a_name_may_follow(string line) =>
        session.Run($"[suggest:{line.Length}]", line).Should().Be(new Outcome(0, "", ""));

    [Fact]
    public void What_stands_behind_the_place_does_not_count() =>
        session.Run("[suggest:20]", "patchlang check --fi quay.rig --format").Output.Should().Be("--fix\n");

    [Fact]
    public void An_option_is_not_suggested_twice() =>
        session.Run("[suggest:99]", "patchlang tidy --check --").Output.Should().Be("--color\n--diff\n--help\n");

    [Theory]
    [InlineData("[suggest]")]
    [InlineData("[suggest:]")]
    [InlineData("[suggest:x]")]
    [InlineData("[suggest:-3]")]
    [InlineData("[suggest:99999999999]")]
    public void A_place_that_is_none_is_the_end_of_the_line(string question) =>
        session.Run(question, "patchlang che").Should().Be(new Outcome(0, "check\n", ""));

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
