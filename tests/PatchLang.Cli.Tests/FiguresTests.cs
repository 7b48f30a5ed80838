using System.Runtime.CompilerServices;
using System.Text.Json;
using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class FiguresTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        format line { joins point_to_point  way one  time none }
        gear Desk {
          in    local[4] : line
          strip ch[4]
          bus   mix[3] { before fader }
          out   out[4] : line
          route local   -> ch  free
          route ch, mix -> mix free
          route ch, mix -> out free
          latency local -> ch  0.7 ms
          latency ch    -> mix 0.3 ms
          latency mix   -> mix 0.3 ms
          latency ch    -> out 0.5 ms
          latency mix   -> out 0.5..0.6 ms
        }
        gear Wedge { in line : line  out sound : line { listener }  route line -> sound fixed }
        act tide  "The Tide Band"
        act bells "Harbour Bells"
        unit desk       : Desk
        unit wedge[1..2] : Wedge
        gear Ears { in line[2] : line { listener } }
        unit ears : Ears
        cable desk.out[1..2] -> wedge.line : 8 m
        cable desk.out[3..4] -> ears.line : 3 m
        feed lead      : desk.local[1] -> desk.ch[1]
        feed group     : sum(lead before fader) -> desk.mix[1]
        feed mix[L, R] : sum(lead before fader, group) -> desk.mix[2..3] -> desk.out[3..4] -> ears.line[1..2] during tide
        feed floor     : lead -> desk.out[1] -> wedge[1].sound

        """;

    private const string Levels = """
        rig "Lantern Quay"
        format line { joins point_to_point  way one  time none }
        format net  { joins switched  way both  time shared  transport = rtp  packet_time = 1 ms  encoding = L24  payload = 1440 }
        gear Rack {
          in    mic[8] : line { full_scale = +18 dBu  gain = 0..60 dB }
          port  net    : net  { out 8  block = 8 }
          clock main { from internal, net }
          route mic -> net fixed
          latency mic -> net 0.25 ms
        }
        gear Desk {
          port  net    : net { in 8 }
          strip ch[8]
          bus   mix[3]
          out   out[3] : line { full_scale = +18 dBu }
          clock main { from internal, net }
          route net -> ch  free
          route ch  -> mix free
          route mix -> out free
          latency net -> ch  0.25 ms
          latency ch  -> mix 0.25 ms
          latency mix -> out 0.25 ms
        }
        gear Wedge { in line : line { listener  clips_at = +12 dBu } }
        unit rack        : Rack
        unit desk        : Desk
        unit wedge[1..3] : Wedge
        network stage : net { join rack.net, desk.net  latency 1 ms  link 100 Mbit/s  budget = 50 % }
        timekeeper desk
        follow rack from net
        feed lead  : rack.mic[1] -> rack.net[1] -> desk.net[1] -> desk.ch[1] { level = -36 dBu  gain = 34 dB }
        feed keys  : rack.mic[2] -> rack.net[2] -> desk.net[2] -> desk.ch[2] { level = -10 dBu }
        feed waves : rack.mic[3] -> rack.net[3] -> desk.net[3] -> desk.ch[3]
        feed own   : sum(lead before fader -6 dB) -> desk.mix[1] -> desk.out[1] -> wedge[1].line { fader = 0 dB }
        feed both  : sum(lead before fader -6 dB, keys before fader -6 dB) -> desk.mix[2] -> desk.out[2] -> wedge[2].line { fader = 0 dB }
        feed sea   : sum(waves before fader -6 dB) -> desk.mix[3] -> desk.out[3] -> wedge[3].line { fader = 0 dB }

        """;

    private readonly Session session = new();

    public FiguresTests() => session.With("quay.rig", Plan);

    public void Dispose() => session.Dispose();

    [Fact]
    public void Each_feed_has_a_line_where_somebody_hears_it() =>
        session.Run("figures", "quay.rig").Should().Be(new Outcome(
            0,
            """
            during tide
              feed   heard at         after            hears twice
              mix    ears.line[1..2]  1.5 to 1.9 ms    desk.local[1], 0.3 ms apart
              floor  wedge[1].sound   at least 1.2 ms
              unknown: no `latency line -> sound` in gear Wedge

            during bells
              feed   heard at        after            hears twice
              floor  wedge[1].sound  at least 1.2 ms
              unknown: no `latency line -> sound` in gear Wedge

            Headroom is not known: no `level` of any source, in a feed or in gear.

            """,
            ""));

    [Fact]
    public void One_act_is_shown_by_itself() =>
        session.Run("figures", "--act", "bells").Lines.Should().Contain("during bells").And.NotContain("during tide");

    [Fact]
    public void A_script_gets_milliseconds_and_nothing_where_a_figure_is_missing()
    {
        using var document = JsonDocument.Parse(session.Run("figures", "quay.rig", "--format", "json").Output);

        var view = document.RootElement.GetProperty("views")[0];
        view.GetProperty("acts")[0].GetString().Should().Be("tide");
        var feeds = view.GetProperty("feeds");
        feeds[0].GetProperty("feed").GetString().Should().Be("mix");
        feeds[0].GetProperty("earliest").GetDouble().Should().Be(1.5);
        feeds[0].GetProperty("latest").GetDouble().Should().Be(1.9);
        feeds[0].GetProperty("hearsTwice")[0].GetProperty("most").GetDouble().Should().Be(0.3);
        feeds[1].TryGetProperty("latest", out _).Should().BeFalse();
        feeds[1].GetProperty("atLeast").GetDouble().Should().Be(1.2);
        feeds[1].GetProperty("unknown").GetString().Should().Be("no `latency line -> sound` in gear Wedge");
        document.RootElement.GetProperty("noHeadroom").GetString().Should().Be("no `level` of any source, in a feed or in gear");
        feeds[1].TryGetProperty("headroomUnknown", out _).Should().BeFalse();
        document.RootElement.GetProperty("networks").GetArrayLength().Should().Be(0);
    }

    // -36 dBu and 34 dB are -2 dBu, 20 dB below the converter's +18 dBu: -20 dBFS. 6 dB less in the mix are -26 dBFS, and
    // -8 dBu behind the output's +18 dBu: 20 dB below the wedge's +12 dBu. The keys' gain and the waves' level are not written.
    // Eight channels of L24 at 48 kHz in packets of 1 ms: 8 · 48 · 3 = 1152 bytes, 58 around them in the frame, 20 more on the wire,
    // 1000 times a second: 9.84 Mbit/s (RFC 3550, 768 and 791, IEEE 802.3).
    [Fact]
    public void Headroom_and_the_load_of_networks_stand_where_the_plan_writes_enough() =>
        session.With("quay.rig", Levels).Run("figures", "quay.rig").Should().Be(new Outcome(
            0,
            """
            all day
              feed  heard at       after  headroom       hears twice
              own   wedge[1].line  2 ms   20 dB
              both  wedge[2].line  2 ms   at most 20 dB
              sea   wedge[3].line  2 ms   unknown
              headroom unknown: the gain of rack.mic[2] is set by ear; `gain` in feed keys states it
              headroom unknown: no `level` in feed waves for its source rack.mic[3]

            network stage
              1 stream, 1000 packets/s, 9.84 Mbit/s together; at most 50 % of a link
              port      link        sends                  takes                  fills
              rack.net  100 Mbit/s  1 stream, 9.84 Mbit/s                         9.8 %
              desk.net  100 Mbit/s                         1 stream, 9.84 Mbit/s  9.8 %


            """,
            ""));

    [Fact]
    public void A_script_gets_decibels_and_bits_per_second()
    {
        using var document = JsonDocument.Parse(session.With("quay.rig", Levels).Run("figures", "quay.rig", "--format", "json").Output);

        var root = document.RootElement;
        root.TryGetProperty("noHeadroom", out _).Should().BeFalse();
        var feeds = root.GetProperty("views")[0].GetProperty("feeds");
        feeds[0].GetProperty("headroom").GetDouble().Should().Be(20);
        feeds[0].TryGetProperty("headroomUnknown", out _).Should().BeFalse();
        feeds[1].TryGetProperty("headroom", out _).Should().BeFalse();
        feeds[1].GetProperty("headroomAtMost").GetDouble().Should().Be(20);
        feeds[1].GetProperty("headroomUnknown")[0].GetString().Should().Be("the gain of rack.mic[2] is set by ear; `gain` in feed keys states it");
        feeds[2].TryGetProperty("headroomAtMost", out _).Should().BeFalse();
        feeds[2].GetProperty("headroomUnknown")[0].GetString().Should().Be("no `level` in feed waves for its source rack.mic[3]");
        var network = root.GetProperty("networks")[0];
        network.GetProperty("network").GetString().Should().Be("stage");
        network.GetProperty("streams").GetInt32().Should().Be(1);
        network.GetProperty("packetsPerSecond").GetDouble().Should().Be(1000);
        network.GetProperty("bitRate").GetDouble().Should().BeApproximately(9.84e6, 1e-3);
        network.GetProperty("budget").GetDouble().Should().Be(0.5);
        network.GetProperty("unknown").GetArrayLength().Should().Be(0);
        var port = network.GetProperty("ports")[1];
        port.GetProperty("port").GetString().Should().Be("desk.net");
        port.GetProperty("link").GetDouble().Should().Be(100e6);
        port.GetProperty("sends").GetInt32().Should().Be(0);
        port.GetProperty("takeBitRate").GetDouble().Should().BeApproximately(9.84e6, 1e-3);
        port.GetProperty("fill").GetDouble().Should().BeApproximately(0.0984, 1e-9);
    }

    [Theory]
    [InlineData("link 100 Mbit/s", "", "rack.net  unknown  1 stream, 9.84 Mbit/s                         unknown", "link speed unknown: `link` in network stage")]
    [InlineData("block = 8", "", "rack.net  100 Mbit/s  unknown           unknown", "streams unknown: no `block` of net in gear Rack")]
    [InlineData("encoding = L24", "", "rack.net  100 Mbit/s  1 stream, load unknown                          unknown", "load unknown: no `encoding` in network stage")]
    [InlineData("transport = rtp", "", "rack.net  100 Mbit/s  1 stream, load unknown                          unknown", "load unknown: no `transport` in format net")]
    [InlineData("packet_time = 1 ms", "", "rack.net  100 Mbit/s  1 stream, load unknown                          unknown", "load unknown: no `packet_time` in network stage")]
    [InlineData("link 100 Mbit/s", "link 10 Mbit/s", "rack.net  10 Mbit/s  1 stream, 9.84 Mbit/s                         98.4 %, too much", null)]
    public void What_is_unknown_of_a_network_is_said_with_what_would_settle_it(string written, string instead, string port, string? missing)
    {
        var lines = session.With("quay.rig", Levels.Replace(written, instead, StringComparison.Ordinal)).Run("figures", "quay.rig").Lines;

        lines.Should().Contain("  " + port);
        var unknown = lines.SkipWhile(l => l != "network stage").Where(l => l.Contains("unknown: ")).Select(l => l.Trim());
        unknown.Should().Equal(missing is null ? [] : [missing]);
    }

    [Fact]
    public void The_sample_shows_the_headroom_that_it_promises_and_the_load_of_its_network()
    {
        using var samples = new Session(Path.Combine(Samples(), "lantern-quay"));

        var lines = samples.Run("figures", "lantern-quay.rig", "--act", "tide").Lines;

        // expect front_mix headroom >= 12 dB
        lines.Should().Contain(l => l.StartsWith("  front_mix[1] ") && l.EndsWith("  2 ms             13 dB"));
        // Packets of 0.25 ms: 4000 a second of each of seven streams. Eight channels: 8 · 12 · 3 + 40 + 18 + 20 = 366 bytes, three times 11.712 Mbit/s.
        lines.Should().Contain("  7 streams, 28000 packets/s, 77.376 Mbit/s together; at most 50 % of a link");
        lines.Should().Contain(l => l.StartsWith("  rack.net ") && l.Contains("3 streams, 35.136 Mbit/s") && l.EndsWith(" 3.5 %"));
        lines.Should().NotContain(l => l.StartsWith("network quay") && l.Contains("bells"));
    }

    [Fact]
    public void A_trace_says_how_loud_it_is_at_each_step()
    {
        session.With("quay.rig", Levels);

        session.Run("trace", "desk.mix[1]", "quay.rig").Output.Should().Be(
            """
            desk.mix[1]  after 1.75 ms, -26 dBFS
              comes from
                <- desk.ch[1]   inside desk, after 1.5 ms, -20 dBFS, before fader, -6 dB, feed own
                <- desk.net[1]  inside desk, after 1.25 ms, -20 dBFS, feed lead
                <- rack.net[1]  network stage, after 0.25 ms, -20 dBFS
                <- rack.mic[1]  inside rack, -36 dBu
              goes to
                -> desk.out[1]    inside desk, after 2 ms, -8 dBu, feed own
                -> wedge[1].line  a cable that no statement declares, after 2 ms, -8 dBu


            """);
        session.Run("trace", "keys", "quay.rig").Lines.Should().Contain("    -> rack.net[2]    inside rack, after 0.25 ms, level unknown from here on, feed keys");
        session.Run("trace", "desk.mix[2]", "quay.rig").Lines[0].Should().Be("desk.mix[2]  after 1.75 ms, at least -26 dBFS");
        session.Run("trace", "desk.mix[3]", "quay.rig").Output.Should().NotContain("dBFS").And.NotContain("dBu");
    }

    private static string Samples([CallerFilePath] string thisFile = "") => Path.Combine(Path.GetDirectoryName(thisFile)!, "../../samples");

    [Fact]
    public void A_plan_in_which_nobody_listens_says_so() =>
        session.With("quay.rig", "rig \"Lantern Quay\"\n").Run("figures").Output.Should()
            .Be("all day\n  No feed ends where somebody listens.\n\nHeadroom is not known: no `level` of any source, in a feed or in gear.\n");

    [Fact]
    public void A_trace_says_when_sound_is_at_each_step()
    {
        var lines = session.Run("trace", "desk.out[3]", "quay.rig").Lines;

        lines[0].Should().Be("desk.out[3]  after 1.5 to 1.9 ms");
        lines.Should().Contain(l => l.Contains("<- desk.mix[2]") && l.Contains("inside desk, after 1 to 1.3 ms"));
        session.Run("trace", "floor", "quay.rig").Lines.Should().Contain(l => l.Contains("-> wedge[1].sound") && l.Contains("after at least 1.2 ms, delay unknown"));
    }
}
