using System.Text;
using System.Text.RegularExpressions;
using PatchLang.Outputs.Comparison;
using PatchLang.Text;

namespace PatchLang.Outputs.Tests.Comparison;

/// <summary>A small rig at Lantern Quay, in pieces that tests exchange, and what is said of the difference.</summary>
internal static class Quay
{
    public const string Rig = """
        rig "Lantern Quay"
        rate 48 kHz

        use "library/stage.rig"
        use "library/desks.rig"
        use "library/listening.rig"

        act tide  "The Tide Band"
        act bells "Harbour Bells" after tide

        unit rack     : StageRack(32, 16) "Stage rack" { place = "stage left" }
        unit desk     : Desk48            "Desk"       { expansion = NetCard(64) }
        unit pa       : HouseSystem       "House"
        unit recorder : Recorder64        "Multitrack"

        network stage : aes67 { join rack.net, desk.expansion.net  latency 1 ms }

        cable desk.line[1..2] -> pa.line[1..2] : twisted_pair 40 m "P"
        cable desk.madi -> recorder.madi : coax 5 m "M1"

        timekeeper desk { standby rack }
        follow desk.expansion from host
        follow rack from net
        follow recorder from madi

        reserve rack.mic[31..32] "spare pair"

        feed fiddle "Fiddle" : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1] { phantom }
        feed lead "Lead vocal" : rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5] during tide
        feed lead "Lead vocal" : rack.mic[9] -> desk.expansion.net[5] -> desk.ch[5] during bells
        feed tom[1..4] "Tom" : rack.mic[11..14] -> desk.expansion.net[11..14] -> desk.ch[11..14]

        bundle band : fiddle, lead, tom

        feed house[L, R] "House mix" : sum(band after fader) -> desk.main[1..2] -> desk.line[1..2] -> pa.area[1..2] { public }
        feed rec[1..6] : band before all -> desk.madi[1..6] -> recorder.track[1..6]

        expect house hears lead

        """;

    public static Compilation Compile(string text) => Compile(text, []);

    public static Compilation Compile(string text, Dictionary<string, string> others) =>
        Compilation.Create(
            new SourceText("quay.rig", text),
            path => others.TryGetValue(path, out var other) ? FileReading.Of(new SourceText(path, other)) : FileReading.Failed(FileProblem.NotFound));

    /// <summary>The rig with pieces of its text exchanged; each must be there.</summary>
    public static string With(params ReadOnlySpan<(string Old, string New)> exchanged)
    {
        var text = Rig;
        foreach (var (old, @new) in exchanged)
            text = text.Contains(old, StringComparison.Ordinal) ? text.Replace(old, @new, StringComparison.Ordinal) : throw new ArgumentException($"The rig has no {old}.", nameof(exchanged));
        return text;
    }

    public static PlanChanges Between(string old, string @new) => PlanChanges.Between(Compile(old), Compile(@new));

    /// <summary>What is said when pieces of the rig's text are exchanged.</summary>
    public static string Says(params ReadOnlySpan<(string Old, string New)> exchanged) => Said(Between(Rig, With(exchanged)));

    /// <summary>The sections of a report, without cautions, places and what is the same in all. The library's figures of latency may change: they are left out unless asked for.</summary>
    public static string Said(PlanChanges changes, bool withFigures = false)
    {
        var text = new StringBuilder();
        foreach (var section in ChangeReport.Of(changes).Sections)
        {
            if (section.Key is "quiet") continue;
            var lines = section.Lines.Where(l => !Always.Contains(l.Text)).ToList();
            if (lines.Count == 0) continue;
            text.Append(section.Key).Append('\n');
            foreach (var line in lines) text.Append("  ").Append(withFigures || !line.Text.Contains("sound arrives", StringComparison.Ordinal) ? line.Text : Figures.Replace(line.Text, "…")).Append(line.Acts.IsEmpty ? "" : $" (during {string.Join(", ", line.Acts)})").Append('\n');
        }
        return text.ToString();
    }

    private static readonly Regex Figures = new(@"(?<=sound arrives |it was )\d[^(]*? ms(?= after|\))", RegexOptions.None, TimeSpan.FromSeconds(5));

    private static readonly string[] Always = ["unmute one by one, and bring levels up from the bottom", "every clock reads locked, and error counters stand still for a minute"];
}
