using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>House rules as a user runs them. What a rule can do wrong is tested where the process is.</summary>
public sealed class RulesTests : IDisposable
{
    private const string Plan = """
        rig "Pier"
        format line { joins point_to_point  way one  time none }
        gear Player   { out play[2] : line }
        gear Recorder { in track[2] : line { recorder } }
        unit player   : Player
        unit recorder : Recorder
        cable player.play -> recorder.track : 5 m
        feed song : player.play[1] -> recorder.track[1]
        """;

    private const string Rule = """
        // rule: labels
        /// Every feed has a label.
        ///
        /// So that strips can be read.
        foreach (var feed in Rig.Feeds.Where(f => f.Label is null))
            Finding(feed, $"{feed} has no label", fix: Fix.InsertAfter("call it by its name", feed.Place, $" \"{feed}\"").Safe());
        """;

    private readonly Session session = new Session().With("pier.rig", Plan).With("labels.csx", Rule);

    public void Dispose() => session.Dispose();

    [Fact]
    public void A_rule_that_is_named_is_run_and_its_finding_fails_the_check()
    {
        var outcome = session.Run("check", "pier.rig", "--rules", "labels.csx");

        outcome.Error.Should().BeEmpty();
        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().StartWith("pier.rig:8:6: warning PL1202: song has no label (rule labels)\n").And.Contain("to mend it: call it by its name (--fix does it)");
    }

    [Fact]
    public void Its_findings_are_in_every_format_and_its_safe_fixes_are_made()
    {
        session.Run("check", "pier.rig", "--rules", "labels.csx", "--format", "sarif").Output.Should().Contain("\"ruleId\": \"PL1202\"");

        session.Run("check", "pier.rig", "--rules", "labels.csx", "--fix").Output.Should().Be("1 plan: nothing found; 1 change made\n");

        session.Read("pier.rig").Should().Contain("feed song \"song\" :");
    }

    [Fact]
    public void A_rule_that_is_listed_is_not_run_until_it_is_accepted_and_no_more_when_it_changes()
    {
        session.With(".patchlang-rules", "labels.csx\n");
        session.With("labels.csx", Rule + $"\n// {Guid.NewGuid()}\n"); // nobody has accepted this one before
        var refused = session.Run("check", "pier.rig");
        refused.Output.Should().Be("1 plan: nothing found\n");
        refused.Error.Should().Contain("the rule labels was not run").And.Contain("patchlang rules pier.rig --accept");
        session.Run("rules", "pier.rig").Output.Should().Be("labels  labels.csx  not accepted\n    Every feed has a label.\n");

        session.Run("rules", "pier.rig", "--accept").Output.Should().StartWith("labels  labels.csx  accepted\n");
        session.Run("check", "pier.rig").Output.Should().Contain("PL1202");

        session.With("labels.csx", Rule + "\n// changed\n" + Guid.NewGuid().ToString("N").Insert(0, "// "));
        session.Run("check", "pier.rig").Output.Should().Be("1 plan: nothing found\n");
    }

    [Fact]
    public void A_rule_that_is_not_there_is_said() =>
        session.Run("check", "pier.rig", "--rules", "missing.csx").Should().Be(new Outcome(2, "", "patchlang: the rule missing.csx: there is no such file\n"));

    [Fact]
    public void A_plan_behind_the_option_is_taken_for_no_rule() =>
        session.Run("check", "--rules", "labels.csx", "pier.rig").Error.Should().Contain("name plans ahead of --rules");

    [Fact]
    public void A_time_has_to_be_one() =>
        session.Run("check", "pier.rig", "--rules-time", "0").Should().Match<Outcome>(o => o.ExitCode == 2 && o.Error.Contains("above 0", StringComparison.Ordinal));

    [Fact]
    public void A_rule_explains_itself() =>
        session.Run("explain", "labels.csx").Output.Should().Contain("labels").And.Contain("So that strips can be read.");

    [Fact]
    public void The_rules_of_the_sample_hold_for_it()
    {
        using var repository = new Session(Path.Combine(ReadmeTests.Root, "samples", "lantern-quay"));
        var rules = Directory.EnumerateFiles(Path.Combine(repository.Folder, "rules"), "*.csx").Order(StringComparer.Ordinal).ToArray();
        rules.Should().HaveCountGreaterThanOrEqualTo(3);

        repository.Run(["check", "lantern-quay.rig", "--rules", .. rules]).Should().Be(new Outcome(0, "1 plan: nothing found\n", ""));
    }
}
