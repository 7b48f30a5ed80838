using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Facts;

/// <summary>Latencies that somebody added up by hand.</summary>
public sealed class LatencyVectorsTests
{
    // Converter 0.5, packet 1, buffer 3, converter 2.01: 6.51 ms (standards.md section 4, a worked chain). Packet and buffer are what a network's receiver waits.
    private const string Chain = """
        rate 48 kHz
        format line { joins point_to_point  way one  time none }
        format net  { joins switched  way both  time shared }
        gear In  { in mic : line   port net : net { out 1 }  route mic -> net fixed  latency mic -> net 0.5 ms   clock main { accuracy = 10 ppm  from internal, net } }
        gear Out { out line : line { listener }  port net : net { in 1 }   route net -> line fixed  latency net -> line 2.01 ms  clock main { accuracy = 10 ppm  from net, internal } }
        unit stage : In
        unit ears  : Out
        timekeeper stage
        network quay : net { join stage.net, ears.net  latency 4 ms }
        feed lead : stage.mic -> ears.line

        """;

    [Fact]
    public void A_chain_of_converters_and_a_network_is_their_sum()
    {
        var compilation = Compile(Chain + "expect lead latency <= 6.5 ms\n");

        var arrival = compilation.Facts.Views[0].ArrivalAt(compilation.Find("ears.line").Nodes[0]);
        arrival.Latest.Should().BeApproximately(6.51e-3, 1e-12);
        compilation.Findings.Select(f => f.Message).Should().Equal("ears.line hears stage.mic after 6.51 ms; at most 6.5 ms is expected");
        compilation.Findings[0].Related.Select(r => r.Remark).Should().Equal(
            "stage.mic -> stage.net: 0.5 ms", "stage.net -> ears.net: 4 ms", "ears.net -> ears.line: 2.01 ms");
    }

    [Fact]
    public void Ten_microseconds_are_held_against_a_bound_and_a_rounding_is_not() =>
        Compile(Chain + "expect lead latency <= 6.51 ms\nexpect lead latency >= 6.51 ms\n").Findings.Should().BeEmpty();

    // A link of AES50 takes 62.5 µs (secondary) beside the rack's and the desk's own 0.4 and 0.3 ms.
    [Fact]
    public void A_link_of_AES50_adds_what_its_format_says()
    {
        var compilation = Compile("""
            rate 48 kHz
            use "library/desks.rig"
            use "library/stage.rig"
            unit rack : SmallRack(8, 8) "Rack"
            unit desk : Desk48 "Desk" { expansion = Aes50Card }
            cable rack.link -> desk.expansion.link : utp 20 m
            timekeeper desk
            follow desk.expansion from host
            follow rack from link
            feed lead : rack.mic[1] -> desk.expansion.link[1] -> desk.ch[1]
            """);

        compilation.Facts.Views[0].ArrivalAt(compilation.Find("desk.ch[1]").Nodes[0]).Latest.Should().BeApproximately(0.7625e-3, 1e-12);
    }

    // split 0, monitor desk's input 0.7 and mix 0.3, line 0.5, in-ear transmitter 0; the talkback comes by way of the house desk:
    // its input 0.7, its output 0.2, the network 1, the monitor desk's input 0.3, mix 0.3, line 0.5: 3 ms.
    [Fact]
    public void On_the_quay_the_singer_hears_the_latest_after_3_ms_and_a_slower_network_breaks_the_promise()
    {
        Arrival(Quay()).Should().BeApproximately(3e-3, 1e-12);

        var slow = Quay(("equipment.rig", "latency 1 ms", "latency 4 ms"));
        Arrival(slow).Should().BeApproximately(6e-3, 1e-12);
        slow.Findings.Select(f => $"{f.Code} {f.Message}").Should().Equal(
            "PL1001 ears[mara].air[1] hears desk.local[1] after 6 ms during tide; at most 5 ms is expected");

        static double Arrival(Compilation quay) => quay.Facts.Views[0].ArrivalAt(quay.Find("ears[mara].air[1]").Nodes[0]).Latest;
    }

    // By the rack: 0.4, network 1, hub 0.1, mixer 0.1: 1.6 ms. By the monitor desk: 0.7, 0.3, 0.5, the hub's converter 0.4 and 0.1, mixer 0.1: 2.1 ms.
    // 0.5 ms between them: 1 / (2 · 0.5 ms) = 1 kHz.
    [Fact]
    public void On_the_quay_a_bass_that_comes_twice_meets_itself_half_a_millisecond_later()
    {
        var twice = Quay(("monitors.rig", "sum(tide_mon[2..9] before fader, ferry_mon[2..8] before fader)", "sum(tunes_mon before fader)"));

        var found = twice.Findings.Should().ContainSingle().Subject;
        found.Kind.Should().Be(LatencyFindings.Comb);
        found.Severity.Should().Be(Severity.Note);
        found.Message.Should().Be(
            "mixer[bass].own[1..2] and mixer[keys].own[1..2] hear split.stage[9] by two ways 0.5 ms apart during tide, ferry: it cancels at 1 kHz, 3 kHz, 5 kHz and on, how deep hangs on gains that are set by ear");
        found.Fixes.Select(f => f.Title).Should().Equal("delay chain_bass by 0.5 ms");
    }

    private static Compilation Quay((string File, string Sound, string Broken)? change = null) =>
        change is var (file, sound, broken) ? Samples.Broken("lantern-quay/lantern-quay.rig", file, sound, broken) : Samples.Compile("lantern-quay/lantern-quay.rig");

    private static Compilation Compile(string text) => Compilation.Create(new SourceText("plan.rig", text), _ => FileReading.Failed(FileProblem.NotFound));
}
