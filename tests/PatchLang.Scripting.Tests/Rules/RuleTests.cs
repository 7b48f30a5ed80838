using FluentAssertions;
using PatchLang.Scripting.Hosting;
using Xunit;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>What rules find, and how it stands among what the compiler finds.</summary>
public sealed class RuleTests : IDisposable
{
    private readonly RuleFolder folder = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public void What_a_rule_finds_stands_at_the_thing_with_its_numbers_and_can_be_mended()
    {
        folder.With("tracks.csx", """
            // rule: tracks-from-three
            /// Tracks 1 and 2 stay free.
            foreach (var hop in Rig.Feeds.SelectMany(f => f.Signals).SelectMany(s => s.Hops).Where(h => h.To.Port.IsRecorder && h.To.Number <= 2))
                Finding(hop, $"{hop.To} is {1.0 / 2} of what stays free, {hop.Feed.Signals[0].Latency}", Severity.Error,
                    Fix.Replace($"move it to track {hop.To.Number + 2}", hop.Place, $"recorder.track[{hop.To.Number + 2}]"), [Rig.Unit("recorder")]);
            """);

        folder.Run().Should().Equal(
            "plan.rig:7 PL1201: recorder.track[1] is 0.5 of what stays free, 0 ms (rule tracks-from-three)",
            "plan.rig:8 PL1201: recorder.track[2] is 0.5 of what stays free, 0 ms (rule tracks-from-three)");
        var found = folder.Outcome!.Findings[0];
        found.Fixes.Should().ContainSingle().Which.Edits.Should().ContainSingle().Which.NewText.Should().Be("recorder.track[3]");
        found.Related.Should().ContainSingle().Which.Remark.Should().Be("recorder");
    }

    [Fact]
    public void A_plan_allows_what_a_rule_finds_in_the_statement_behind()
    {
        folder.Plan = RuleFolder.Duo.Replace("feed talk", "allow PL1202 \"it is meant\"\nfeed talk", StringComparison.Ordinal);
        folder.With("all.csx", "foreach (var feed in Rig.Feeds) Finding(feed, $\"{feed} is there\");");

        folder.Run().Should().Equal("plan.rig:7 PL1202: song is there (rule all)");
    }

    [Fact]
    public void An_allow_for_rules_is_not_called_unused_where_no_rules_are_run() =>
        SamplePlans.Of(RuleFolder.Duo.Replace("feed talk", "allow PL1202 \"it is meant\"\nfeed talk", StringComparison.Ordinal)).Findings.Should().BeEmpty();

    [Fact]
    public void A_script_loads_others_and_takes_a_library_and_the_second_time_nothing_is_compiled()
    {
        File.WriteAllText(Path.Combine(folder.Folder, "shared.csx"), "string Loud(string text) => text.ToUpperInvariant();");
        File.Copy(typeof(QuikGraph.AdjacencyGraph<,>).Assembly.Location, Path.Combine(folder.Folder, "QuikGraph.dll"));
        folder.With("graph.csx", """
            #r "QuikGraph.dll"
            #load "shared.csx"
            using QuikGraph;
            using QuikGraph.Algorithms;
            var graph = Rig.Feeds.SelectMany(f => f.Hops).Select(h => new Edge<Unit>(h.From.Unit, h.To.Unit)).ToAdjacencyGraph<Unit, Edge<Unit>>();
            var order = graph.TopologicalSort().Select(u => u.Name);
            Finding(Rig.Unit("player"), $"{Loud(string.Join(" then ", order))}", Severity.Note);
            """);
        const string expected = "plan.rig:4 PL1203: PLAYER THEN RECORDER (rule graph)";

        folder.Run().Should().Equal(expected);
        folder.Run().Should().Equal(expected);
    }

    [Fact]
    public void What_it_takes_in_is_part_of_what_was_accepted()
    {
        var path = Path.Combine(folder.Folder, "main.csx");
        var other = Path.Combine(folder.Folder, "other.csx");
        File.WriteAllText(other, "// one");
        File.WriteAllText(path, "#load \"other.csx\"\n");
        var before = RuleFile.Read(path).Rule!;
        AcceptedRules.Has(before).Should().BeFalse();
        AcceptedRules.Accept(before);
        AcceptedRules.Has(RuleFile.Read(path).Rule!).Should().BeTrue();

        File.WriteAllText(other, "// two");

        AcceptedRules.Has(RuleFile.Read(path).Rule!).Should().BeFalse();
    }

    /// <summary>However C# lets a directive be written: its white space and its ends of lines (ECMA-334, 6.3.2 and 6.3.4; from memory).</summary>
    [Theory]
    [InlineData("# load \"other.csx\"\n")]
    [InlineData("#\tload \"other.csx\"\n")]
    [InlineData("\u00A0#load\u3000\"other.csx\"\n")]
    [InlineData("#load\"other.csx\"\n")]
    [InlineData("// remark\u2028#load \"other.csx\"\n")]
    [InlineData("// remark\r#load \"other.csx\"\n")]
    [InlineData("// remark\u0085#load \"other.csx\" // more\n")]
    public void What_it_takes_in_is_found_however_the_directive_is_written(string text)
    {
        var path = Path.Combine(folder.Folder, "main.csx");
        File.WriteAllText(path, text);
        File.WriteAllText(Path.Combine(folder.Folder, "other.csx"), "// one");
        var before = RuleFile.Read(path).Rule!.Hash;

        File.WriteAllText(Path.Combine(folder.Folder, "other.csx"), "// two");

        RuleFile.Read(path).Rule!.Hash.Should().NotBe(before);
    }

    [Fact]
    public void What_is_run_is_what_was_read_with_the_rule_and_not_what_a_file_says_by_then()
    {
        var other = Path.Combine(folder.Folder, "other.csx");
        File.WriteAllText(other, "Finding(Rig.Unit(\"player\"), \"accepted\", Severity.Note);");
        folder.With("main.csx", "#load \"other.csx\"\n");

        File.WriteAllText(other, "Finding(Rig.Unit(\"player\"), \"never accepted\", Severity.Note);");

        folder.Run().Should().ContainSingle().Which.Should().EndWith("PL1203: accepted (rule main)");
    }

    [Fact]
    public void A_folder_lists_its_rules_and_none_outside_of_it()
    {
        File.WriteAllText(Path.Combine(folder.Folder, "a.csx"), "// rule: first\n/// Says nothing.\n");
        File.WriteAllText(Path.Combine(folder.Folder, RuleList.FileName), "# ours\na.csx\n\n../b.csx\nmissing.csx\n");

        var (rules, problems) = RuleList.In(folder.Folder);

        rules.Select(r => (r.Name, r.Summary)).Should().Equal(("first", "Says nothing."));
        problems.Should().HaveCount(2).And.Contain(p => p.Contains("../b.csx", StringComparison.Ordinal)).And.Contain(p => p.Contains("missing.csx", StringComparison.Ordinal));
    }
}
