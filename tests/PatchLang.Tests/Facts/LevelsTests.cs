using System.Globalization;
using System.Text;
using CsCheck;
using FluentAssertions;
using PatchLang.Facts;
using PatchLang.Physics;
using PatchLang.Tests.Library;
using PatchLang.Tests.Physics;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Facts;

/// <summary>Levels along a rig, each beside the same worked out by hand.</summary>
public sealed class LevelsTests
{
    private const string Desk = """
        format line { joins point_to_point  way one  time none }
        gear Desk {
          in    mic[8]  : line { full_scale = +18 dBu  gain = 0..60 dB }
          in    back[8] : line { full_scale = +18 dBu }
          strip ch[8]
          bus   mix[8]  { before fader }
          bus   mono[2] { before fader  gain = 0 dB }
          out   send[8] : line { listener  full_scale = +24 dBu }
          route mic, back -> ch   free
          route ch        -> mix, mono  free
          route mix       -> mix  free
          route mix, ch   -> send free
        }
        gear Split { in stage[8] : line  out a[8] : line { gain = 0 dB }  out b[8] : line { gain = -1 dB }  route stage -> a, b fixed }
        unit desk : Desk

        """;

    // By hand: a voice at -30 dBu, 1 dB less behind the transformer, with 36 dB of gain is +5 dBu; at an input that is full at
    // +18 dBu that is -13 dBFS, with the send -19. Four voices are 10·log10 4 = 6.02 dB more: -12.98 dBFS, which leaves 12.98 dB.
    [Fact]
    public void The_wedges_of_the_festival_day_have_what_is_worked_out_by_hand()
    {
        var plan = Samples.Compile("lantern-quay/lantern-quay.rig");
        var (levels, node) = At(plan, "wedge[1].to_ears");

        levels.At(node).Should().BeEquivalentTo(new { IsWhole = true, Known = new { Reference = LevelReference.FullScale } });
        levels.At(node).Known!.Value.Decibels.Should().BeApproximately(-19 + 10 * Math.Log10(4), 1e-9);
        levels.At(node).AllPeaks!.Value.Decibels.Should().BeApproximately(-19 + 20 * Math.Log10(4), 1e-9);
        levels.HeadroomAt(node).Decibels.Should().BeApproximately(12.979, 5e-4);
    }

    // Ten dB more gain: -2.98 dBFS, 2.98 dB are left where 12 are promised. Nothing clips yet.
    [Fact]
    public void With_ten_dB_more_gain_the_promise_of_the_festival_day_breaks()
    {
        var plan = Samples.Broken("lantern-quay/lantern-quay.rig", "monitors.rig", "{ gain = 36 dB }", "{ gain = 46 dB }");

        plan.Findings.Should().ContainSingle().Which.Should().BeEquivalentTo(new { Code = "PL1001" });
        plan.Findings[0].Message.Should().StartWith("wedge[1].to_ears has 3 dB of headroom during tide: its level is -3 dBFS");
    }

    // 60 dB: -30 - 1 + 60 is +29 dBu, 11 dB over the +18 dBu of the input. What it passes on is full, so in the wedge's mix each
    // is -6 dBFS and four are +0.02 dBFS: the mix has room, the output behind it clips by 0.02 dB.
    [Fact]
    public void With_all_its_gain_the_monitor_desk_clips_by_eleven_dB()
    {
        var plan = Samples.Broken("lantern-quay/lantern-quay.rig", "monitors.rig", "{ gain = 36 dB }", "{ gain = 60 dB }");

        plan.Findings.Where(f => f.Code == "PL0701").Select(f => f.Message).Should().Contain(
            "mon.local[18] clips during tide, ferry: it gets +29 dBu with 60 dB of gain, 11 dB more than the +18 dBu that it carries, and so do 3 more channels");
        plan.Findings.Select(f => f.Code).Should().Contain("PL1001");
    }

    [Fact]
    public void Without_its_gain_the_promise_of_the_festival_day_is_undecided()
    {
        var plan = Samples.Broken("lantern-quay/lantern-quay.rig", "monitors.rig", "{ gain = 36 dB } ", "");

        plan.Findings.Should().ContainSingle().Which.Message.Should().Contain("the gain of mon.local[18] is set by ear; `gain` in feed voices_mon states it");
    }

    // -40 + 40 - 18 = -18 dBFS at the strip; trim and fader 3 down each; the send 2 up; the mix's fader 1 down; out at +24 dBu.
    [Theory]
    [InlineData("before all", -18 + 2 - 1 + 24)]
    [InlineData("before fader", -18 - 3 + 2 - 1 + 24)]
    [InlineData("after fader", -18 - 3 - 3 + 2 - 1 + 24)]
    public void Each_tap_has_its_own_level(string tap, double dbu)
    {
        var (levels, node) = At(Compile($$"""
            feed lead : desk.mic[1] -> desk.ch[1] { level = -40 dBu  gain = 40 dB  trim = -3 dB  fader = -3 dB }
            feed mix  : sum(lead {{tap}} +2 dB) -> desk.mix[1] -> desk.send[1] { fader = -1 dB }
            """), "desk.send[1]");

        ShouldBe(levels.At(node), Level.Dbu(dbu));
    }

    // Two copies of one voice by two strips are 20·log10 2 more than one; with a third sound beside them powers add.
    [Fact]
    public void Copies_of_one_origin_add_as_voltages_and_others_as_powers()
    {
        var (levels, node) = At(Compile("""
            feed lead  : desk.mic[1] -> desk.ch[1] { level = -30 dBu  gain = 20 dB }
            feed copy  : desk.mic[1] -> desk.ch[2]
            feed other : desk.mic[2] -> desk.ch[3] { level = -30 dBu  gain = 20 dB }
            feed mix   : sum(lead 0 dB, copy -6 dB, other -3 dB) -> desk.mix[1] -> desk.send[1]
            """), "desk.mix[1]");
        var one = -30 + 20 - 18;
        var voice = 20 * Math.Log10(Math.Pow(10, one / 20.0) + Math.Pow(10, (one - 6) / 20.0));

        levels.At(node).Known!.Value.Decibels.Should().BeApproximately(10 * Math.Log10(Math.Pow(10, voice / 10) + Math.Pow(10, (one - 3) / 10.0)), 1e-9);
    }

    // A group with the voice twice, and the voice itself beside it: three copies in step, of which two had met before.
    [Fact]
    public void Copies_that_met_before_are_copies_still()
    {
        var (levels, node) = At(Compile("""
            feed lead  : desk.mic[1] -> desk.ch[1] { level = -30 dBu  gain = 20 dB }
            feed copy  : desk.mic[1] -> desk.ch[2]
            feed group : sum(lead 0 dB, copy 0 dB) -> desk.mix[1] { fader = 0 dB }
            feed mix   : sum(group 0 dB, lead 0 dB) -> desk.mix[2] -> desk.send[1]
            """), "desk.mix[2]");

        levels.At(node).Known!.Value.Decibels.Should().BeApproximately(-28 + 20 * Math.Log10(3), 1e-9);
    }

    [Fact]
    public void Of_alternatives_the_loudest_counts()
    {
        var (levels, node) = At(Compile("""
            feed main  : desk.mic[1] -> desk.ch[1] { level = -30 dBu  gain = 20 dB }
            feed spare : desk.mic[2] -> desk.ch[2] { level = -30 dBu  gain = 26 dB }
            feed other : desk.mic[3] -> desk.ch[3] { level = -40 dBu  gain = 20 dB }
            allow PL1102 "nobody listens here"
            feed mix : sum(either(main, spare), other) -> desk.mono[1]
            """), "desk.mono[1]");

        levels.At(node).IsWhole.Should().BeTrue();
        levels.At(node).Known!.Value.Decibels.Should().BeApproximately(LevelSum.Incoherent(-22, -38), 1e-9);
    }

    [Fact]
    public void Of_two_machines_on_one_strip_the_louder_counts()
    {
        var (levels, node) = At(Compile("""
            feed main  : desk.back[1] { level = 0 dBu }
            feed spare : desk.back[2] { level = +6 dBu }
            feed song  : either(main, spare) -> desk.ch[1]
            feed out   : song before all -> desk.send[1]
            """), "desk.ch[1]");

        ShouldBe(levels.At(node), Level.Dbfs(-12));
    }

    // What goes through an insert comes back with its gain: -18 dBFS, out at +24 dBu, 4 dB down, back in at +18 dBu: -16 dBFS.
    [Fact]
    public void An_insert_is_in_series()
    {
        var (levels, node) = At(Compile("""
            gear Box { in from : line  out to : line { gain = -4 dB }  route from -> to fixed }
            unit box : Box
            cable desk.send[8] -> box.from : 1 m
            cable box.to -> desk.back[8] : 1 m
            insert desk.ch[1] : desk.send[8] -> box.from -> box.to -> desk.back[8]
            feed lead : desk.mic[1] -> desk.ch[1] { level = -40 dBu  gain = 40 dB }
            feed mix  : sum(lead 0 dB) -> desk.mix[1] -> desk.send[1]
            """), "desk.mix[1]");

        ShouldBe(levels.At(node), Level.Dbfs(-16));
    }

    // A pad lowers what clips and what is left alike; the split's legs have what they say.
    [Fact]
    public void Splits_and_pads_take_what_they_say()
    {
        var plan = Compile("""
            unit split : Split
            cable split.b -> desk.mic : 5 m
            feed drum : split.stage[1] -> desk.mic[1] -> desk.ch[1] { level = +10 dBu  gain = 20 dB  pad = 20 dB }
            """);
        var (levels, strip) = At(plan, "desk.ch[1]");
        var input = At(plan, "desk.mic[1]").Node;

        ShouldBe(levels.At(input), Level.Dbu(9));
        ShouldBe(levels.At(strip), Level.Dbfs(-9));
        levels.HeadroomAt(input).Decibels.Should().Be(9);
    }

    [Fact]
    public void A_level_in_dBFS_at_an_analogue_output_is_one_in_volts()
    {
        var (levels, node) = At(Compile("""
            gear Player { out line[2] : line { full_scale = +18 dBu  level = -9 dBFS } }
            unit player : Player
            cable player.line -> desk.back[1..2] : 5 m
            feed song : player.line[1] -> desk.back[1] -> desk.ch[1]
            """), "desk.back[1]");

        ShouldBe(levels.At(node), Level.Dbu(9));
    }

    [Fact]
    public void What_full_scale_is_in_volts_is_never_guessed()
    {
        var (levels, node) = At(Compile("""
            gear Player { in play[2] : line { level = -9 dBFS }  out line[2] : line  route play -> line fixed }
            unit player : Player
            cable player.line -> desk.back[1..2] : 5 m
            feed song : player.play[1] -> desk.back[1] -> desk.ch[1]
            """), "desk.ch[1]");

        levels.At(node).Known.Should().BeNull();
        levels.UnknownAt(node).Should().ContainSingle().Which.Words.Should().Be("no `full_scale` of line in gear Player");
    }

    /// <summary>A source of a mix; what is null is not written.</summary>
    private sealed record Part(int? Level, int? Gain, int? Send);

    private static readonly Gen<int?> Figure = Gen.Int[0, 20].Nullable(0.15);

    // Whatever figures are left out: a mix is whole only if none is, and what is known is the sum of what is written in full.
    [Fact]
    public void What_is_unknown_never_becomes_a_number() =>
        Gen.Select(Figure, Figure, Figure, (l, g, s) => new Part(l, g, s)).Array[1, 8].Sample(parts =>
        {
            var text = new StringBuilder();
            for (var i = 0; i < parts.Length; i++)
                text.AppendLine(CultureInfo.InvariantCulture, $"feed f{i} : desk.mic[{i + 1}] -> desk.ch[{i + 1}] {{ {Setting("level", -40 + parts[i].Level, "dBu")}{Setting("gain", parts[i].Gain, "dB")}}}");
            var members = parts.Select((p, i) => $"f{i} before fader{(p.Send is { } send ? $" -{send} dB" : "")}");
            text.AppendLine(CultureInfo.InvariantCulture, $"feed mix : sum({string.Join(", ", members)}) -> desk.mix[1] -> desk.send[1] {{ fader = 0 dB }}");
            var (levels, node) = At(Compile(text.ToString()), "desk.send[1]");
            var whole = parts.Where(p => p is { Level: not null, Gain: not null, Send: not null }).ToList();
            var level = levels.At(node);

            level.IsWhole.Should().Be(whole.Count == parts.Length);
            (levels.UnknownAt(node).Length > 0).Should().Be(whole.Count < parts.Length);
            level.Known.HasValue.Should().Be(whole.Count > 0);
            if (whole.Count == 0) return;
            var sum = LevelSum.Incoherent([.. whole.Select(p => -40.0 + p.Level!.Value + p.Gain!.Value - 18 - p.Send!.Value)]);
            level.Known!.Value.Decibels.Should().BeApproximately(sum + 24, 1e-9);
            levels.HeadroomAt(node).IsWhole.Should().Be(level.IsWhole);
        });

    private static void ShouldBe(LevelAt level, Level expected)
    {
        level.IsWhole.Should().BeTrue();
        level.Known!.Value.Reference.Should().Be(expected.Reference);
        level.Known.Value.Decibels.Should().BeApproximately(expected.Decibels, 1e-9);
    }

    private static string Setting(string name, int? value, string unit) => value is { } written ? $"{name} = {written} {unit}  " : "";

    private static Compilation Compile(string text) =>
        Compilation.Create(new SourceText("plan.rig", Desk + text), _ => FileReading.Failed(FileProblem.NotFound));

    private static (Levels Levels, int Node) At(Compilation plan, string point)
    {
        var node = Enumerable.Range(0, plan.Rig.NodeCount).Single(n => plan.Graph.IsUsed(n) && plan.Rig.PointOf(n).ToString() == point);
        return (plan.Facts.In(plan.Rig.AllActs).Levels, node);
    }
}
