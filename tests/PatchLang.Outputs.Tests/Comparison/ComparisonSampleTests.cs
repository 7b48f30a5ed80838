using System.Text.Json;
using System.Xml.Linq;
using FluentAssertions;
using PatchLang.Outputs.Comparison;
using PatchLang.Outputs.Comparison.Writers;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Outputs.Tests.Comparison;

/// <summary>The festival day: what its crew would be told.</summary>
public sealed class ComparisonSampleTests
{
    private static readonly Dictionary<string, string> Files = Load();

    [Fact]
    public void A_microphone_that_moves_in_one_act_is_that_and_no_more()
    {
        var changed = With(
            ("inputs.rig", "\"Soprano solo\" : split.stage[33] ->", "\"Soprano solo\" : split.stage[32] ->"),
            ("monitors.rig", "mon.local[16..17, 22..31, 33] ->", "mon.local[16..17, 22..32] ->"));

        var changes = PlanChanges.Between(Compile(Files), Compile(changed));

        Quay.Said(changes).Should().Be("""
            phantom_off
              rack.mic[33]: Soprano solo (during bells)
            unplug
              unplug split.stage[33]: Soprano solo (during bells)
            plug
              plug into split.stage[32], from split.stage[33]: Soprano solo (during bells)
            route
              desk.expansion.net[33] takes rack.net[32] (it took rack.net[33]): Soprano solo (during bells)
              mon.ch[33] takes mon.local[32] (it took mon.local[33]): Soprano solo (during bells)
            phantom_on
              rack.mic[32]: Soprano solo (during bells)
            check
              listen from source to ear, with levels at the bottom: Soprano solo

            """);
    }

    [Fact]
    public void Its_statements_in_another_order_are_the_same_day()
    {
        var random = new Random(1);
        var shuffled = Files.ToDictionary(f => f.Key, f => Shuffled(f.Value, random));

        PlanChanges.Between(Compile(Files), Compile(shuffled)).Changes.Should().BeEmpty();
    }

    [Fact]
    public void A_performer_is_told_what_comes_into_the_ears()
    {
        var changed = With(("monitors.rig", "kit_mon before fader -12 dB, talk_mon before fader)", "kit_mon before fader -12 dB, talk_mon before fader, click_mon before fader)"));

        Quay.Said(PlanChanges.Between(Compile(Files), Compile(changed))).Should().StartWith("""
            mix
              mon.mix[1..2]: bring in mon.ch[41], before fader: Click (during tide, ferry)
            check
              listen from source to ear, with levels at the bottom: Click
            heard
              ears[mara].air[1..2] also hears Backup 3, Playback 3 (during tide, ferry)

            """);
    }

    // By hand: four voices at the wedges are at -13 dBFS (LevelsTests); 6 dB less gain at their inputs is 6 dB less there. What
    // comes by the network is later by the millisecond that it waits longer.
    [Fact]
    public void A_listener_who_hears_another_level_or_at_another_time_is_told_in_every_format()
    {
        var changes = PlanChanges.Between(Compile(Files), Compile(With(("monitors.rig", "{ gain = 36 dB }", "{ gain = 30 dB }"), ("equipment.rig", "latency 1 ms", "latency 2 ms"))));
        var plans = new ComparedPlans(new ComparedPlan("monday.rig", s => s.Path), new ComparedPlan("tuesday.rig", s => s.Path));
        const string level = "wedge[1..2].to_ears: the level is -19 dBFS (it was -13 dBFS)";
        var latency = changes.Changes.Single(c => c is { Kind: ChangeKind.Latency, Subject: "recorder.track[42]" });
        var later = $"recorder.track[41..42]: sound arrives {latency.Now} after it left its source (it was {latency.Was})";

        Quay.Said(changes, withFigures: true).Should().Contain(level).And.Contain(later);
        ComparisonMarkdown.Write(changes, plans).Should().Contain($"- {level}").And.Contain($"- {later}");
        XDocument.Parse(ComparisonHtml.Write(changes, plans)).Descendants().Where(e => e.Name.LocalName == "bdi").Select(e => e.Value).Should().Contain([level, later]);
        using var json = JsonDocument.Parse(ComparisonJson.Write(changes, plans));
        var found = json.RootElement.GetProperty("changes").EnumerateArray().Select(c => c.GetProperty("kind").GetString() is "level" or "latency" ? $"{c.GetProperty("kind")} {c.GetProperty("subject")} {c.GetProperty("was")} {c.GetProperty("now")}" : "");
        found.Should().Contain(["level wedge[1].to_ears -13 dBFS -19 dBFS", $"latency recorder.track[42] {latency.Was} {latency.Now}"]);
        Figures(latency.Now!).Should().Equal(Figures(latency.Was!).Select(f => f + 1));

        static IEnumerable<double> Figures(string text) => text.Split(' ').Where(w => char.IsAsciiDigit(w[0])).Select(w => double.Parse(w, System.Globalization.CultureInfo.InvariantCulture));
    }

    /// <summary>In any order, but an exception stays with the statement that it excuses.</summary>
    private static string Shuffled(string text, Random random)
    {
        var tree = SyntaxTree.Parse(new SourceText("day.rig", text));
        var groups = new List<string> { "" };
        for (var i = 0; i < tree.Count; i++)
        {
            groups[^1] += tree[i].Text.ToString().TrimEnd() + "\n";
            if (tree[i].Kind != NodeKind.Allow) groups.Add("");
        }
        var all = groups.ToArray();
        random.Shuffle(all);
        return string.Concat(all);
    }

    private static Dictionary<string, string> With(params (string File, string Old, string New)[] exchanged)
    {
        var files = new Dictionary<string, string>(Files, StringComparer.Ordinal);
        foreach (var (file, old, @new) in exchanged)
        {
            files[file].Should().Contain(old);
            files[file] = files[file].Replace(old, @new, StringComparison.Ordinal);
        }
        return files;
    }

    private static Compilation Compile(Dictionary<string, string> files) =>
        Compilation.Create(
            new SourceText("lantern-quay.rig", files["lantern-quay.rig"]),
            path => files.TryGetValue(path, out var text) ? FileReading.Of(new SourceText(path, text)) : FileReading.Failed(FileProblem.NotFound));

    private static Dictionary<string, string> Load([System.Runtime.CompilerServices.CallerFilePath] string thisFile = "") =>
        Directory.EnumerateFiles(Path.Combine(Path.GetDirectoryName(thisFile)!, "../../../samples/lantern-quay"), "*.rig").ToDictionary(f => Path.GetFileName(f), File.ReadAllText);
}
