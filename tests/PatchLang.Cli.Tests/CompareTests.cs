using System.Text.Json;
using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class CompareTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        rate 48 kHz
        use "library/stage.rig"
        use "library/desks.rig"
        use "inputs.rig"
        unit rack : StageRack(32, 16)
        unit desk : Desk48 { expansion = NetCard(64) }
        network stage : aes67 { join rack.net, desk.expansion.net  latency 1 ms }
        timekeeper desk { standby rack }
        follow desk.expansion from host
        follow rack from net

        """;

    private const string Inputs = "feed fiddle \"Fiddle\" : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1]\n";

    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    private Session Two(string inputs) => session.With("old/quay.rig", Plan).With("old/inputs.rig", Inputs).With("new/quay.rig", Plan).With("new/inputs.rig", inputs);

    private Session Committed() => session.AsRepository().With("rigs/quay.rig", Plan).With("rigs/inputs.rig", Inputs).Commit();

    private static string Moved => Inputs.Replace("mic[1]", "mic[2]", StringComparison.Ordinal);

    [Fact]
    public void The_crew_is_told_step_by_step() =>
        Two(Moved).Run("compare", "old/quay.rig", "new/quay.rig").Should().Be(new Outcome(
            1,
            """
            from old/quay.rig to new/quay.rig
            Changes: 1 source is plugged otherwise, 1 route.

            1. Make it quiet
               Caution: Earphones out or muted, and wedges muted, while anything is plugged, routed, clocked or switched. Bring every level up from the bottom. Local codes and licensed practice decide.
               [ ] earphones out or muted, wedges and loudspeakers muted

            2. Unplug
               [ ] unplug rack.mic[1]: Fiddle  new/inputs.rig:1

            3. Plug
               [ ] plug into rack.mic[2], from rack.mic[1]: Fiddle  new/inputs.rig:1

            4. Routes
               [ ] desk.expansion.net[1] takes rack.net[2] (it took rack.net[1]): Fiddle  new/inputs.rig:1

            5. Check, then unmute
               [ ] listen from source to ear, with levels at the bottom: Fiddle
               [ ] unmute one by one, and bring levels up from the bottom

            """,
            ""));

    [Fact]
    public void What_only_looks_otherwise_is_no_change() =>
        Two("// moved\n\n" + Inputs.Replace(" : ", ":", StringComparison.Ordinal)).Run("compare", "old", "new").Should().Be(new Outcome(0, "from old/quay.rig to new/quay.rig\nNothing changes.\n", ""));

    [Theory]
    [InlineData("markdown", "## What changes: Lantern Quay\n")]
    [InlineData("html", "<!DOCTYPE html>\n")]
    [InlineData("svg", "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg ")]
    [InlineData("drawing", "<!DOCTYPE html>\n")]
    [InlineData("json", "{\n  \"version\": 1,\n  \"old\": \"old/quay.rig\"")]
    public void Other_formats_have_the_same_exit_code(string format, string start)
    {
        var outcome = Two(Moved).Run("compare", "old", "new", "--format", format);

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().StartWith(start);
    }

    [Fact]
    public void The_picture_says_at_each_unit_what_changes_there()
    {
        var picture = Two(Moved).Run("compare", "old", "new", "--format", "svg").Output;

        picture.Should().Contain(">~ one plug<").And.Contain(">~ one route<").And.Contain(">~ 1 ch more, 1 ch less<");
        Two(Inputs).Run("compare", "old", "new", "--format", "svg").Output.Should().NotContain("data-change");
    }

    [Fact]
    public void A_revision_is_read_with_all_files_that_the_plan_used_then()
    {
        Committed().With("rigs/inputs.rig", Moved);

        var outcome = session.Run("compare", "--git", "HEAD", "rigs/quay.rig", "--format", "json");

        outcome.ExitCode.Should().Be(1);
        using var document = JsonDocument.Parse(outcome.Output);
        document.RootElement.GetProperty("old").GetString().Should().Be("rigs/quay.rig in HEAD");
        document.RootElement.GetProperty("changes").EnumerateArray().Select(c => c.GetProperty("kind").GetString()).Should().Equal("source", "route");
        session.Run("compare", "--git", "main", "rigs").ExitCode.Should().Be(1, "a branch, and a folder with one plan, will do");
    }

    [Fact]
    public void A_file_that_was_not_there_then_leaves_what_changes_unknown()
    {
        session.AsRepository().With("rigs/quay.rig", Plan).Commit().With("rigs/inputs.rig", Inputs);

        session.Run("compare", "--git", "HEAD", "rigs/quay.rig").Should().Be(new Outcome(
            2, "", "patchlang: rigs/quay.rig in HEAD: the error at rigs/quay.rig:5 hides a part of the plan, so what changes is unknown: there is no file inputs.rig\n"));
    }

    [Theory]
    [InlineData("fed fiddle \"Fiddle\" : rack.mic[1] -> desk.ch[1]", "the error at new/inputs.rig:1 hides")]
    [InlineData("feed fiddle \"Fiddle\" : rak.mic[1] -> desk.expansion.net[1] -> desk.ch[1]", "the error at new/inputs.rig:1 hides")]
    [InlineData("unit pa : HousSystem\nunit side : Wegde", "2 errors, the first at new/inputs.rig:1, hide")]
    public void What_an_error_of_text_or_names_hides_is_never_taken_away(string inputs, string says)
    {
        var outcome = Two(inputs).Run("compare", "old", "new");

        outcome.ExitCode.Should().Be(2);
        outcome.Output.Should().BeEmpty();
        outcome.Error.Should().StartWith($"patchlang: new/quay.rig: {says} a part of the plan, so what changes is unknown: ");
    }

    [Fact]
    public void Nothing_changed_since_is_nothing() => Committed().Run("compare", "--git", "HEAD", "rigs/quay.rig").ExitCode.Should().Be(0);

    [Theory]
    [InlineData("compare", "two plans are needed, or --git and a revision")]
    [InlineData("compare rigs/quay.rig", "two plans are needed, or --git and a revision")]
    [InlineData("compare --git HEAD rigs/quay.rig rigs/quay.rig", "with --git there is one plan, not two")]
    [InlineData("compare --git HEAD -", "--git needs a file: standard input has no revision")]
    [InlineData("compare rigs/quay.rig rigs/none.rig", "rigs/none.rig: there is no such file")]
    [InlineData("compare --git nope rigs/quay.rig", "rigs/quay.rig: git knows no revision nope")]
    [InlineData("compare --git ^HEAD rigs/quay.rig", "rigs/quay.rig: git knows no revision ^HEAD")]
    [InlineData("compare --git HEAD..HEAD rigs/quay.rig", "rigs/quay.rig: git knows no revision HEAD..HEAD")]
    [InlineData("compare --git HEAD new.rig", "new.rig in HEAD: there is no such file")]
    [InlineData("compare rigs/quay.rig empty.rig", "empty.rig: there is no statement in it, so there is nothing to compare")]
    public void What_can_not_be_compared_is_one_line_and_exits_with_2(string line, string says)
    {
        Committed().With("new.rig", "rig \"New\"\n").With("empty.rig", "// nothing\n");

        session.Run(line.Split(' ')).Should().Be(new Outcome(2, "", $"patchlang: {says}\n"));
    }

    [Fact]
    public void Outside_of_a_repository_there_is_no_revision() =>
        session.With("quay.rig", "rig \"Quay\"\n").Run("compare", "--git", "HEAD", "quay.rig").Should().Be(new Outcome(2, "", "patchlang: quay.rig: the plan is in no git repository\n"));

    [Fact]
    public void A_link_in_a_revision_is_not_followed()
    {
        session.AsRepository().With("secret.txt", Inputs).With("rigs/quay.rig", Plan);
        File.CreateSymbolicLink(session.PathOf("rigs/inputs.rig"), "../secret.txt");
        session.Commit();
        File.Delete(session.PathOf("rigs/inputs.rig"));
        session.With("rigs/inputs.rig", Inputs);

        session.Run("compare", "--git", "HEAD", "rigs/quay.rig").Error.Should().Contain("it is a link, which is not followed in a revision");
    }

    [Fact]
    public void Names_can_not_command_the_terminal() =>
        Two(Inputs.Replace("Fiddle", "Fid\u202Edle", StringComparison.Ordinal)).Run("compare", "old", "new").Output.Should().Contain("\"Fid\uFFFDdle\"");

    [Fact]
    public void The_recipe_in_the_readme_shows_plans_by_what_they_mean()
    {
        Committed();
        foreach (var line in ReadmeTests.Block("sh git").Split('\n', StringSplitOptions.RemoveEmptyEntries)) session.Shell(line);
        session.Commit();

        // Only the look of it: nothing is different to git.
        session.With("rigs/inputs.rig", Inputs.Replace(" : ", "  :   ", StringComparison.Ordinal));
        session.Shell("git diff -- rigs/inputs.rig").Should().BeEmpty();

        session.With("rigs/inputs.rig", Moved);
        session.Shell("git diff -- rigs/inputs.rig").Should().Contain("+feed fiddle");
        session.Shell("git plan-changes HEAD rigs/quay.rig || test $? -eq 1").Should().Contain("plug into rack.mic[2], from rack.mic[1]: Fiddle");

        // One file alone, by git's own program for differences.
        session.With("alone.rig", Plan.Replace("use \"inputs.rig\"", Inputs, StringComparison.Ordinal)).Commit();
        session.With("alone.rig", Plan.Replace("use \"inputs.rig\"", Moved, StringComparison.Ordinal));
        session.Shell("git difftool --no-prompt --tool patchlang -- alone.rig").Should().Contain("plug into rack.mic[2], from rack.mic[1]: Fiddle");
    }

    [Fact]
    public void The_workflow_for_a_pull_request_checks_the_plan_and_says_what_changes()
    {
        var workflow = File.ReadAllText(Path.Combine(ReadmeTests.Root, "samples/pull-request.yml")).ReplaceLineEndings("\n");
        Committed().With("rigs/inputs.rig", Moved).Commit();
        var check = workflow.Split('\n').Single(l => l.Contains("run: patchlang check", StringComparison.Ordinal)).Split("run: ")[1];
        var say = workflow.Split("run: |\n")[1].Split("\n\n")[0];

        session.Shell($"{check}\n{say}", ("PLAN", "rigs/quay.rig"), ("GITHUB_STEP_SUMMARY", session.PathOf("summary.md")));

        session.Read("summary.md").Should().StartWith("## What changes: Lantern Quay\n").And.Contain("- [ ] plug into rack.mic[2], from rack.mic[1]: Fiddle");
    }
}
