using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>House rules are begun with a case, and held to their cases.</summary>
public sealed class TestRulesTests : IDisposable
{
    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void A_new_rule_comes_with_a_case_that_it_passes_and_a_plan_that_reads_well()
    {
        var written = session.Run("new", "--rule", "labels", "house");

        written.Error.Should().BeEmpty();
        written.Output.Should().StartWith("house/labels.csx is written. Hold it to its case with: patchlang test-rules house/labels.csx\n");
        session.Read("house/patchlang.csx").Should().Contain("/PatchLang.Scripting.dll\"").And.NotContain("SCRIPTS");
        session.Run("test-rules", "house").Should().Be(new Outcome(0, "passed  house/labels.rig (rule labels)\n1 case: 1 passed, 0 failed.\n", ""));
        session.Run("tidy", "--check", "house").ExitCode.Should().Be(0);
        session.Run("check", "house/labels.rig", "--rules", "house/labels.csx").Output.Should().Contain("PL1202").And.Contain("1 warning");

        // On another computer the file for editors is not there.
        File.Delete(session.PathOf("house/patchlang.csx"));
        session.Run("test-rules", "house").ExitCode.Should().Be(0);
    }

    [Fact]
    public void The_case_in_its_help_has_the_mark_under_the_text_that_it_is_about() =>
        session.Run("test-rules", "--help").Lines.SkipWhile(l => !l.Contains("feed talk", StringComparison.Ordinal)).Take(2).Should().Equal(
            "    feed talk : player.play[2] -> recorder.track[2]",
            "    //   ^^^^ PL1202 warning: talk has no label (rule labels)");

    [Fact]
    public void The_lines_in_the_README_run_as_they_stand_there()
    {
        foreach (var line in ReadmeTests.Block("sh new-rule").Split('\n', StringSplitOptions.RemoveEmptyEntries))
            session.Run(line.Split(' ')[1..]).Should().Match<Outcome>(o => o.ExitCode == 0 && o.Error.Length == 0, line);
    }

    [Fact]
    public void A_case_that_is_not_as_marked_fails_with_what_differs_and_can_be_accepted()
    {
        session.Run("new", "--rule", "labels");
        session.With("labels.rig", session.Read("labels.rig").Replace("feed song \"Song\"", "feed song", StringComparison.Ordinal));

        var failed = session.Run("test-rules");

        failed.ExitCode.Should().Be(1);
        failed.Output.Should().Contain("FAILED  labels.rig (rule labels)\n").And.Contain("+ //   ^^^^ PL1202 warning: song has no label (rule labels)\n").And.EndWith("1 case: 0 passed, 1 failed. - was marked and not found, + was found and not marked.\n");
        session.Run("test-rules", "--accept").ExitCode.Should().Be(0);
        session.Run("test-rules").ExitCode.Should().Be(0);
        session.Read("labels.rig").Should().Contain("//   ^^^^ PL1202 warning: song has no label (rule labels)");
    }

    [Fact]
    public void A_rule_that_finds_nothing_where_something_is_marked_fails()
    {
        session.Run("new", "--rule", "labels");
        session.With("labels.csx", "// rule: labels\n// Finding( nothing\n");

        session.Run("test-rules").Output.Should().Contain("  - //   ^^^^ PL1202 warning: talk has no label (rule labels)\n");
    }

    [Fact]
    public void A_rule_that_fails_fails_its_case_with_its_line()
    {
        session.Run("new", "--rule", "labels");
        session.With("labels.csx", "// rule: labels\nthrow new InvalidOperationException(\"wet\");\n");

        var outcome = session.Run("test-rules");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("labels.csx:2:1: PL1205 the rule labels failed: InvalidOperationException: wet");
    }

    [Theory]
    [InlineData("patchlang: there is no case to test; `patchlang new --rule NAME` writes a rule with one\n")]
    [InlineData("patchlang: the rule missing.csx: there is no such file\n", "missing.csx")]
    public void Where_there_is_nothing_to_test_that_is_said(string said, params string[] arguments) =>
        session.Run(["test-rules", .. arguments]).Should().Be(new Outcome(2, "", said));

    [Fact]
    public void A_rule_without_a_case_is_named() =>
        session.With("other.csx", "Finding(Rig.Feeds.First(), $\"there\");").Run("test-rules").Error.Should().StartWith("patchlang: other.csx has no case: write one as other.rig beside it\n");

    [Theory]
    [InlineData("two words")]
    [InlineData("../out")]
    [InlineData("")]
    [InlineData("a.b")]
    [InlineData("patchlang")]
    public void A_name_that_can_be_none_is_refused(string name)
    {
        session.Run("new", "--rule", name, ".").Should().Match<Outcome>(o => o.ExitCode == 2 && o.Output.Length == 0 && o.Error.StartsWith("patchlang: ", StringComparison.Ordinal));
        Directory.EnumerateFileSystemEntries(session.Folder).Should().BeEmpty();
    }

    [Fact]
    public void Nothing_of_the_user_s_is_written_over()
    {
        session.With("labels.rig", "mine");
        session.Run("new", "--rule", "labels").Should().Be(new Outcome(2, "", "patchlang: labels.rig is there already; nothing was written\n"));
        session.Read("labels.rig").Should().Be("mine");
    }
}
