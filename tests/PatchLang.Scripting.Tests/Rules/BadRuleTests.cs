using FluentAssertions;
using PatchLang.Scripting.Hosting;
using Xunit;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>
/// Whatever a rule does, the others and the plan's own findings are there. The rules of this folder run together, since each
/// would take a process of its own otherwise.
/// </summary>
public sealed class BadRuleTests(BadRuleTests.Bad bad) : IClassFixture<BadRuleTests.Bad>
{
    [Fact]
    public void What_is_no_C_sharp_is_told_with_its_line() =>
        bad.Of("broken.csx").Should().Equal("broken.csx:2 PL1204: the rule broken can't be read: 'Unit' does not contain a definition for 'Colour' and no accessible extension method 'Colour' accepting a first argument of type 'Unit' could be found (are you missing a using directive or an assembly reference?) (CS1061)");

    [Fact]
    public void What_it_throws_is_told_with_its_line() =>
        bad.Of("throws.csx").Should().Equal("throws.csx:3 PL1205: the rule throws failed: InvalidOperationException: the mixer is wet");

    [Fact]
    public void What_it_found_before_it_threw_stands() => bad.All.Should().Contain("plan.rig:7 PL1202: before it threw (rule throws)");

    [Fact]
    public void What_it_throws_later_on_a_thread_of_its_own_is_told_too() =>
        bad.Of("thread.csx").Should().Equal("thread.csx:2 PL1205: the rule thread failed: InvalidOperationException: behind its back");

    [Fact]
    public void One_that_runs_for_ever_is_stopped_and_the_next_is_run()
    {
        using var folder = new RuleFolder { Limits = new ScriptLimits(TimeSpan.FromSeconds(2), 300L << 20) };
        folder.With("endless.csx", "while (true) { }").With("next.csx", "Finding(Rig.Feed(\"song\"), $\"it was its turn\");");

        folder.Run().Should().Equal(
            "plan.rig:7 PL1202: it was its turn (rule next)",
            "endless.csx:1 PL1205: the rule endless failed: it ran longer than the 2 s that a rule may, and was stopped");
    }

    [Fact]
    public void One_that_takes_all_memory_is_stopped() =>
        bad.Of("greedy.csx").Should().ContainSingle().Which.Should().Contain("PL1205: the rule greedy failed: it took more memory than");

    [Fact]
    public void One_that_ends_its_process_is_told() =>
        bad.Of("exits.csx").Should().Equal("exits.csx:1 PL1205: the rule exits failed: it ended the process that it runs in, with exit code 0");

    [Fact]
    public void One_that_calls_itself_without_end_is_told() =>
        bad.Of("deep.csx").Should().Equal("deep.csx:1 PL1205: the rule deep failed: it called itself without end");

    [Fact]
    public void A_million_printed_lines_spoil_nothing_and_are_not_kept()
    {
        bad.All.Should().Contain("plan.rig:7 PL1202: it printed (rule prints)");
        bad.Folder.Outcome!.Printed.Length.Should().BeLessThan(200_000);
    }

    [Fact]
    public void What_is_printed_to_the_line_of_the_answers_is_taken_for_none() => bad.All.Should().Contain("plan.rig:7 PL1202: it wrote to the line itself (rule forges)").And.NotContain(f => f.Contains("forged", StringComparison.Ordinal));

    [Fact]
    public void A_fix_after_which_the_plan_can_t_be_read_is_not_offered()
    {
        bad.Of("bad-fix.csx").Should().ContainSingle().Which.Should().StartWith("bad-fix.csx:1 PL1205: the rule bad-fix failed: the fix \"spoil it\" can't be offered: the plan could not be read after it");
        bad.Folder.Outcome!.Findings.Single(f => f.Message.StartsWith("it can be spoilt", StringComparison.Ordinal)).Fixes.Should().BeEmpty();
    }

    [Fact]
    public void Rules_between_them_and_behind_them_are_run() =>
        bad.All.Should().Contain("plan.rig:7 PL1202: in the middle (rule middle)").And.Contain("plan.rig:7 PL1202: at the end (rule zz-last)");

    [Fact]
    public void The_plan_s_own_findings_are_there() => bad.All.Should().Contain(f => f.StartsWith("plan.rig:9 PL0301: ", StringComparison.Ordinal));

    [Fact]
    public void Where_the_system_can_forbid_it_nothing_is_written_and_no_network_is_there()
    {
        var outside = Path.Combine(bad.Folder.Folder, "written.txt");
        if (!bad.Folder.Outcome!.IsShutIn)
        {
            // The README says where it can't be forbidden.
            bad.All.Should().Contain(f => f.Contains("(rule writes)", StringComparison.Ordinal));
            return;
        }
        File.Exists(outside).Should().BeFalse();
        bad.All.Should().Contain("plan.rig:7 PL1202: written nowhere: IOException, IOException; interfaces: lo (rule writes)");
    }

    /// <summary>The folder of bad rules, run once.</summary>
    public sealed class Bad : IDisposable
    {
        public Bad()
        {
            Folder.Plan = RuleFolder.Duo + "\nfeed late : player.play[3] -> recorder.track[5]\n";
            Folder.Limits = new ScriptLimits(TimeSpan.FromMinutes(1), 300L << 20);
            const string song = "Rig.Feed(\"song\")";
            Folder
                .With("bad-fix.csx", $"Finding({song}, $\"it can be spoilt\", fix: Fix.Replace(\"spoil it\", {song}.Place, \"feed feed\"));")
                .With("broken.csx", "// A misspelt name.\nforeach (var unit in Rig.Units) Finding(unit, unit.Colour);")
                .With("deep.csx", "int Deeper(int n) => Deeper(n + 1) + Deeper(n);\nDeeper(0);")
                .With("exits.csx", "Environment.Exit(0);")
                .With("forges.csx", $"Console.Out.WriteLine(\"{{\\\"sort\\\":\\\"Finished\\\",\\\"rule\\\":0}} forged\"); using (var raw = new System.IO.FileStream(new Microsoft.Win32.SafeHandles.SafeFileHandle((IntPtr)1, false), System.IO.FileAccess.Write)) raw.Write(Encoding.UTF8.GetBytes(\"forged\\n\"));\nFinding({song}, $\"it wrote to the line itself\");")
                .With("greedy.csx", "var kept = new List<byte[]>();\nwhile (true) kept.Add(new byte[1 << 20]);")
                .With("middle.csx", $"Finding({song}, $\"in the middle\");")
                .With("prints.csx", $"for (var i = 0; i < 1_000_000; i++) Console.WriteLine(\"line\");\nFinding({song}, $\"it printed\");")
                .With("thread.csx", "var thread = new System.Threading.Thread(() =>\n    throw new InvalidOperationException(\"behind its back\"));\nthread.Start(); thread.Join(); System.Threading.Thread.Sleep(2000);")
                .With("throws.csx", $"Finding({song}, $\"before it threw\");\n\nthrow new InvalidOperationException(\"the mixer is wet\");")
                .With("writes.csx", $$"""
                    string Try(string path) { try { System.IO.File.WriteAllText(path, "x"); return "written"; } catch (Exception e) { return e.GetType().Name; } }
                    var (here, there) = (Try("here.txt"), Try(@"{{Path.Combine(Folder.Folder, "written.txt")}}"));
                    var interfaces = System.IO.Directory.Exists("/proc/self/net") ? System.IO.File.ReadAllLines("/proc/self/net/dev").Skip(2).Select(l => l.Split(':')[0].Trim()) : ["?"];
                    Finding({{song}}, $"written nowhere: {here}, {there}; interfaces: {string.Join(" ", interfaces)}");
                    """)
                .With("zz-last.csx", $"Finding({song}, $\"at the end\");");
            All = Folder.Run();
        }

        internal RuleFolder Folder { get; } = new();

        public List<string> All { get; }

        public IEnumerable<string> Of(string file) => All.Where(f => f.StartsWith(file + ":", StringComparison.Ordinal));

        public void Dispose() => Folder.Dispose();
    }
}
