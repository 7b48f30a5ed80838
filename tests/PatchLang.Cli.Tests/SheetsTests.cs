using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class SheetsTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        act tide "Tide"
        act bells "Bells" after tide
        format wire { joins point_to_point  way one  time none }
        gear Box { in mic[4] : wire  strip ch[4]  route mic -> ch free }
        unit box : Box
        feed a "Fiddle" : box.mic[1] -> box.ch[1] during tide
        feed b "Whistle" : box.mic[2] -> box.ch[2]

        """;

    private readonly Session session = new Session().With("quay.rig", Plan);

    public void Dispose() => session.Dispose();

    [Fact]
    public void All_formats_are_written_and_the_folder_is_made()
    {
        var outcome = session.Run("sheets", "quay.rig", "--to", "out/sheets", "--date", "2026-06-20");

        outcome.ExitCode.Should().Be(0, outcome.Error);
        outcome.Output.Should().MatchRegex(@"^\d+ sheets of Lantern Quay are written to out/sheets \(\d+ files\)\.\n$");
        Files("out/sheets").Should().Contain(["sheets.html", "sheets.xlsx", "input-list-tide.md", "input-list-tide.csv", "input-list-bells.md", "changeover-tide-bells.csv", "unit-box.md"]);
        session.Read("out/sheets/input-list-tide.md").Should().Contain("| 1 | Fiddle |").And.Contain("**2026-06-20**").And.MatchRegex(@"\*\*plan [0-9a-f]{8}\*\*");
    }

    [Fact]
    public void Without_words_of_one_s_own_a_page_has_today_and_a_number_that_changes_with_the_plan()
    {
        session.Run("sheets", "--to", "a", "--format", "csv");
        session.Run("sheets", "--to", "b", "--format", "markdown");
        var before = session.Read("b/pull-list.md");
        session.With("quay.rig", Plan.Replace("Whistle", "Flute", StringComparison.Ordinal)).Run("sheets", "--to", "b", "--format", "markdown");

        before.Should().Contain(DateTime.Today.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture));
        session.Read("b/pull-list.md").Split('\n')[2].Should().NotBe(before.Split('\n')[2]);
        Files("a").Should().OnlyContain(f => f.EndsWith(".csv"));
    }

    [Fact]
    public void Labels_are_of_the_size_that_is_asked_for()
    {
        session.Run("sheets", "--to", "out", "--format", "html", "--label", "30.5x6.5").ExitCode.Should().Be(0);

        session.Read("out/sheets.html").Should().Contain("<li style=\"width:30.5mm;height:6.5mm\"").And.Contain("<b>1 Fiddle</b>").And.NotContain("width:20mm");
    }

    [Theory]
    [InlineData("20")]
    [InlineData("8x20")]
    [InlineData("20x5")]
    [InlineData("101x20")]
    [InlineData("20x61")]
    [InlineData("20x-14")]
    [InlineData("20,5x14")]
    [InlineData("NaNx14")]
    public void What_is_no_size_of_a_label_is_one_clear_line_and_nothing_is_written(string size)
    {
        session.Run("sheets", "--to", "out", "--label", size).Should().Be(new Outcome(2, "", $"patchlang: {size} is no size of a label: a width of 9 to 100 and a height of 6 to 60 mm are asked for, such as 25x9\n"));
        Directory.Exists(Path.Combine(session.Folder, "out")).Should().BeFalse();
    }

    [Fact]
    public void One_act_alone()
    {
        session.Run("sheets", "--to", "out", "--act", "bells", "--format", "markdown").ExitCode.Should().Be(0);

        Files("out").Should().Contain("input-list-bells.md").And.NotContain("input-list-tide.md");
        session.Run("sheets", "--to", "out", "--act", "night").Should().Be(new Outcome(2, "", "patchlang: there is no act night; there are tide, bells\n"));
    }

    [Fact]
    public void What_else_is_in_the_folder_stays_and_nothing_is_left_beside()
    {
        session.With("out/notes.txt", "mine").With("out/sheets.html", "old");

        session.Run("sheets", "--to", "out", "--format", "html").ExitCode.Should().Be(0);

        Files("out").Should().Equal("notes.txt", "sheets.html");
        session.Read("out/notes.txt").Should().Be("mine");
        session.Read("out/sheets.html").Should().StartWith("<!DOCTYPE html>");
    }

    [Fact]
    public void A_folder_that_is_a_file_is_one_clear_line()
    {
        session.With("out", "a file");

        session.Run("sheets", "--to", "out").Should().Be(new Outcome(2, "", "patchlang: out could not be written to: it is a file, and not a folder; nothing was written\n"));
        session.Read("out").Should().Be("a file");
    }

    [Fact]
    public void Where_one_file_can_t_be_written_none_is()
    {
        Directory.CreateDirectory(session.PathOf("out/unit-box.md"));

        var outcome = session.Run("sheets", "--to", "out");

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().Be("patchlang: out could not be written to: unit-box.md in it is a folder; nothing was written\n");
        Files("out").Should().BeEmpty();
    }

    [Fact]
    public void A_plan_with_faults_gives_sheets_and_says_so()
    {
        session.With("quay.rig", Plan + "feed c \"Third\" : box.mic[3] -> box.ch[2]\n");

        var outcome = session.Run("sheets", "--to", "out", "--format", "markdown");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("This plan has 1 error");
        session.Read("out/input-list-tide.md").Should().Contain("> **This plan has 1 error").And.MatchRegex(@"\| 3 \| Third \|.*\*\*!\*\* PL");
    }

    [Fact]
    public void A_folder_has_to_be_named() => session.Run("sheets", "quay.rig").Should().Match<Outcome>(o => o.ExitCode == 2 && o.Error.Contains("--to"));

    [Fact]
    public void Its_help_teaches_it() => session.Run("sheets", "--help").Output.Should().Contain("Print sheets.html").And.Contain("patchlang sheets stage.rig --to sheets");

    private IEnumerable<string> Files(string folder) => Directory.EnumerateFiles(session.PathOf(folder)).Select(f => Path.GetFileName(f)!).Order(StringComparer.Ordinal);
}
