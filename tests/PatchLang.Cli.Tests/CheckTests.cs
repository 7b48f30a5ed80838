using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class CheckTests : IDisposable
{
    /// <summary>A plan whose second line lacks an arrow.</summary>
    private const string Broken = """
        rig "Lantern Quay"
        feed lead : rack.mic[5] desk.ch[5]
        """;

    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void A_clean_plan_says_so_and_exits_with_0()
    {
        var outcome = session.With("quay.rig", "rig \"Lantern Quay\"\n").Run("check", "quay.rig");

        outcome.Should().Be(new Outcome(0, "1 plan: nothing found\n", ""));
    }

    [Fact]
    public void A_link_that_leads_nowhere_is_told_as_it_was_named()
    {
        File.CreateSymbolicLink(session.PathOf("quay.rig"), "yesterday.rig");
        File.CreateSymbolicLink(session.PathOf("loop.rig"), "loop.rig");

        session.Run("check", "quay.rig").Should().Be(new Outcome(2, "", "patchlang: quay.rig: it can't be read: it is a link to yesterday.rig, which is not there\n"));
        session.Run("check", "loop.rig").Should().Be(new Outcome(2, "", "patchlang: loop.rig: it can't be read: it is a link that leads back to itself\n"));
        session.Run("tidy", "quay.rig").Should().Be(new Outcome(2, "", "patchlang: quay.rig: it can't be read: it is a link to yesterday.rig, which is not there\n"));
    }

    [Fact]
    public void A_file_is_no_folder() =>
        session.With("quay.rig", "rig \"Lantern Quay\"\n").Run("check", "quay.rig/").Should().Be(new Outcome(2, "", "patchlang: quay.rig/: there is no such folder\n"));

    /// <summary>Whoever reads the output, and whoever reads what is said of failures, learns of it.</summary>
    [Theory]
    [InlineData("json", "\"nowhere.rig: there is no such file\"")]
    [InlineData("sarif", "\"text\": \"nowhere.rig: there is no such file\"")]
    [InlineData("github", "::error::nowhere.rig: there is no such file\n")]
    public void A_missing_file_is_told_in_each_format(string format, string says)
    {
        var outcome = session.Run("check", "nowhere.rig", "--format", format);

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().Be("patchlang: nowhere.rig: there is no such file\n");
        outcome.Output.Should().Contain(says).And.NotContain("nothing found");
    }

    [Fact]
    public void A_finding_shows_its_line_with_carets_and_exits_with_1()
    {
        var outcome = session.With("quay.rig", "rig \"Lantern Quay\"\nfee lead : rack.mic[5]\n").Run("check", "quay.rig");

        outcome.ExitCode.Should().Be(1);
        outcome.Lines[0].Should().StartWith("quay.rig:2:1: error PL0102: ");
        outcome.Lines[1].Should().Be("     2 | fee lead : rack.mic[5]");
        outcome.Lines[2].Should().MatchRegex(@"^       \| \^+$");
        outcome.Lines[^2].Should().Be("1 plan: 1 error");
        outcome.Lines[^1].Should().Be("What one means: patchlang explain PL0102");
        outcome.Error.Should().BeEmpty();
    }

    [Fact]
    public void The_page_that_is_named_is_that_of_the_weightiest_finding()
    {
        var outcome = session.With("quay.rig", "allow PL0310 \"meant\"\nrate 48 kHz\nrate 44.1 kHz\n").Run("check", "quay.rig");

        outcome.Lines[0].Should().Contain("warning PL1103");
        outcome.Lines[^1].Should().Be("What one means: patchlang explain PL0202");
    }

    [Fact]
    public void Without_a_path_it_checks_the_folder()
    {
        var outcome = session.With("quay.rig", "rig \"Lantern Quay\"\n").With("bells/bells.rig", "rig \"Bells\"\n").Run("check");

        outcome.Should().Be(new Outcome(0, "2 plans: nothing found\n", ""));
    }

    [Fact]
    public void A_folder_means_the_files_with_a_rig_statement()
    {
        session.With("quay.rig", "rig \"Lantern Quay\"\nuse \"gear.rig\"\n").With("gear.rig", "fee x : y\n").With("notes.txt", "none");

        session.Run("check", ".", "--format", "json").Output.Should().Contain("\"plans\": 1");
    }

    [Fact]
    public void In_a_folder_without_a_rig_statement_it_means_the_files_that_no_other_uses()
    {
        session.With("stage.rig", "use \"gear.rig\"\n").With("gear.rig", "rate 48 kHz\n").With("radio.rig", "rate 48 kHz\n");

        session.Run("check", ".", "--format", "json").Output.Should().Contain("\"plans\": 2");
    }

    [Fact]
    public void A_finding_in_a_folder_is_named_by_the_path_from_here()
    {
        var outcome = session.With("plans/day/quay.rig", Broken).Run("check", "plans");

        outcome.Lines[0].Should().StartWith("plans/day/quay.rig:2:");
    }

    [Fact]
    public void The_same_file_named_twice_is_checked_once()
    {
        var outcome = session.With("quay.rig", Broken).Run("check", "quay.rig", "./quay.rig", ".");

        outcome.Output.Should().Contain("1 plan: 1 error");
    }

    [Fact]
    public void Standard_input_is_a_plan_too()
    {
        session.Input = Broken;

        var outcome = session.Run("check", "-");

        outcome.ExitCode.Should().Be(1);
        outcome.Lines[0].Should().StartWith("-:2:25: error PL0101: ");
    }

    [Theory]
    [InlineData("quay.rig", "patchlang: quay.rig: there is no such file\n")]
    [InlineData("", "patchlang: .: there is no .rig file in this folder\n")]
    public void What_is_not_there_is_one_line_and_exits_with_2(string path, string line)
    {
        session.Run(path == "" ? ["check"] : ["check", path]).Should().Be(new Outcome(2, "", line));
    }

    [Fact]
    public void One_plan_that_cannot_be_read_does_not_hide_the_others()
    {
        var outcome = session.With("quay.rig", Broken).Run("check", "quay.rig", "gone.rig");

        outcome.ExitCode.Should().Be(2);
        outcome.Output.Should().Contain("1 plan: 1 error");
        outcome.Error.Should().Be("patchlang: gone.rig: there is no such file\n");
    }

    [Fact]
    public void Fixing_standard_input_is_refused()
    {
        session.Run("check", "--fix", "-").Should().Be(new Outcome(2, "", "patchlang: --fix changes files; it can't change standard input\n"));
    }

    [Theory]
    [InlineData("auto", true, "", "xterm", true)]
    [InlineData("auto", true, "1", "xterm", false)]
    [InlineData("auto", true, "", "dumb", false)]
    [InlineData("auto", false, "", "xterm", false)]
    [InlineData("always", false, "1", "dumb", true)]
    [InlineData("never", true, "", "xterm", false)]
    public void Colour_is_for_terminals(string color, bool isTerminal, string noColor, string term, bool isColoured)
    {
        session.With("quay.rig", Broken);
        session.IsInteractive = isTerminal;
        session.Environment["NO_COLOR"] = noColor;
        session.Environment["TERM"] = term;

        session.Run("check", "quay.rig", "--color", color).Output.Contains('\e').Should().Be(isColoured);
    }

    [Fact]
    public void What_a_plan_contains_cannot_command_the_terminal()
    {
        session.With("quay.rig", "fee \e[31m\u202Ex\a : y\n");

        var outcome = session.Run("check", "quay.rig");

        outcome.Output.Should().NotContainAny("\e", "\a", "\u202E").And.Contain("fee ␛[31m\uFFFDx␇ : y");
    }

    [Fact]
    public void Carets_stand_below_what_they_mean_behind_tabs_and_wide_letters()
    {
        var outcome = session.With("quay.rig", "feed\tlead \"港\" : rack.mic[5] desk.ch[5]\n").Run("check", "quay.rig");

        outcome.Output.Should().Contain("     1 | feed    lead \"港\" : rack.mic[5] desk.ch[5]\n       | " + new string(' ', 32) + "^^^^\n");
    }

    [Fact]
    public void Of_a_long_line_only_the_part_around_the_place_is_shown()
    {
        var outcome = session.With("quay.rig", $"feed lead \"{new string('x', 100_000)}\" : rack.mic[5] desk.ch[5]{new string(' ', 200)}// end\n").Run("check", "quay.rig");

        outcome.Lines[1].Should().HaveLength(9 + 1 + 120 + 1).And.StartWith("     1 | …xxxx").And.Contain("rack.mic[5] desk.ch[5]").And.EndWith("…");
        outcome.Lines[2].IndexOf('^').Should().Be(outcome.Lines[1].IndexOf("desk", StringComparison.Ordinal));
    }

    [Fact]
    public void A_byte_order_mark_is_no_column()
    {
        var outcome = session.With("quay.rig", "\uFEFFfee lead : y\n").Run("check", "quay.rig");

        outcome.Lines[0].Should().StartWith("quay.rig:1:1: ");
        outcome.Lines[1].Should().Be("     1 | fee lead : y");
    }

    [Fact]
    public void Of_very_many_findings_the_first_are_shown_and_all_are_counted()
    {
        session.With("quay.rig", string.Concat(Enumerable.Repeat("fee lead : y\n", 600)));

        var outcome = session.Run("check", "quay.rig");

        outcome.Lines.Should().ContainSingle(l => l.StartsWith("quay.rig:500:", StringComparison.Ordinal));
        outcome.Lines.Should().NotContain(l => l.StartsWith("quay.rig:501:", StringComparison.Ordinal));
        outcome.Lines[^3..^1].Should().Equal("And 100 more, which --format json shows.", "1 plan: 600 errors");
    }
}
