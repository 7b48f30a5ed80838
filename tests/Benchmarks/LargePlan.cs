using System.Text;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Benchmarks;

/// <summary>
/// The plan in <c>samples/large</c>: a regatta with a hundred small stages along the quay, each a rig of its own with a rack, a
/// desk, monitors, a recorder and a hundred feeds. It is for scale, and for seeing that ten thousand feeds can be read at all.
/// The same text in every run.
/// </summary>
internal static class LargePlan
{
    /// <summary>How many stages there are along the quay.</summary>
    public const int Stages = 100;

    private const int Inputs = 48;
    private const int Tracks = 35;
    private const int Wedges = 12;

    /// <summary>The text of the plan, tidy.</summary>
    public static string Write()
    {
        var text = new StringBuilder("""
            // A hundred stages along the quay, ten thousand feeds: a plan for scale, written by a program.
            //
            //   dotnet run --project tests/Benchmarks -- large-plan samples/large/large.rig
            //
            // Each stage is a rig of its own, on a network and a clock of its own.
            rig "Lantern Quay, the regatta"
            rate 48 kHz

            use "library/stage.rig"
            use "library/desks.rig"
            use "library/listening.rig"

            """);
        for (var stage = 1; stage <= Stages; stage++) AppendStage(text, stage);
        return Tidy.Format(SyntaxTree.Parse(new SourceText("large.rig", text.ToString().ReplaceLineEndings("\n"))));
    }

    private static void AppendStage(StringBuilder text, int stage)
    {
        var s = $"s{stage:000}";
        text.Append($$"""

            // ---- stage {{stage}} ----

            unit {{s}}_rack     : StageRack(48, 16) "Rack {{stage}}"
            unit {{s}}_desk     : Desk48            "Desk {{stage}}" { expansion = NetCard(64) }
            unit {{s}}_recorder : Recorder64        "Recorder {{stage}}"
            unit {{s}}_pa       : HouseSystem       "House {{stage}}"
            unit {{s}}_loop     : LoopAmplifier     "Loop {{stage}}"
            unit {{s}}_wedge[1..{{Wedges}}] : Wedge

            network {{s}}_net : aes67 { join {{s}}_rack.net, {{s}}_desk.expansion.net  latency 1 ms  link 1 Gbit/s }

            cable {{s}}_rack.line[1..{{Wedges}}] -> {{s}}_wedge.line : twisted_pair 10 m "W{{stage}}"
            cable {{s}}_desk.line[1..4] -> {{s}}_pa.line : twisted_pair 40 m "P{{stage}}"
            cable {{s}}_desk.line[5] -> {{s}}_loop.line : twisted_pair 10 m "L{{stage}}"
            cable {{s}}_desk.madi -> {{s}}_recorder.madi : coax 5 m "R{{stage}}"

            timekeeper {{s}}_desk { standby {{s}}_rack }
            follow {{s}}_desk.expansion from host
            follow {{s}}_rack from net
            follow {{s}}_recorder from madi


            """);
        for (var input = 1; input <= Inputs; input++)
            text.Append($"feed {s}_in{input:00} \"Input {stage}.{input}\" : {s}_rack.mic[{input}] -> {s}_desk.expansion.net[{input}] -> {s}_desk.ch[{input}]\n");
        text.Append($"\nbundle {s}_band : ").AppendJoin(", ", Enumerable.Range(1, Inputs).Select(i => $"{s}_in{i:00}")).Append("\n\n");
        for (var track = 1; track <= Tracks; track++)
            text.Append($"feed {s}_rec{track:00} : {s}_in{track:00} before all -> {s}_desk.madi[{track}] -> {s}_recorder.track[{track}]\n");
        for (var wedge = 1; wedge <= Wedges; wedge++)
        {
            // Everyone hears the two that stand beside them louder than the rest.
            var own = wedge * 2;
            text.Append($"feed {s}_mix{wedge:00} \"Mix {stage}.{wedge}\" : sum({s}_in{own:00} before fader, {s}_in{own + 1:00} before fader, {s}_in{Inputs - wedge:00} before fader -6 dB)")
                .Append($" -> {s}_desk.mix[{wedge}] -> {s}_desk.expansion.net[{wedge}] -> {s}_rack.net[{wedge}] -> {s}_rack.line[{wedge}] -> {s}_wedge[{wedge}].to_ears\n");
        }
        text.Append($$"""
            feed {{s}}_house[L, R] "House mix {{stage}}" : sum({{s}}_band after fader) -> {{s}}_desk.main[1..2] -> {{s}}_desk.line[1..2] -> {{s}}_pa.area[1..2] { public }
            feed {{s}}_low "Low end {{stage}}" : {{s}}_in01 after fader -> {{s}}_desk.line[3] -> {{s}}_pa.area[3] { public }
            feed {{s}}_fill "Front fill {{stage}}" : {{s}}_in02 after fader -> {{s}}_desk.line[4] -> {{s}}_pa.area[4] { public }
            feed {{s}}_speech "Loop mix {{stage}}" : {{s}}_in48 after fader -> {{s}}_desk.line[5] -> {{s}}_loop.loop { public }
            feed {{s}}_keep[L, R] "Recorded mix {{stage}}" : {{s}}_house at {{s}}_desk.main -> {{s}}_desk.madi[63..64] -> {{s}}_recorder.track[63..64]
            expect {{s}}_house hears {{s}}_in01

            """);
    }
}
