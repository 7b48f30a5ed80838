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
    }

    [Fact]
    public void A_plan_in_which_nobody_listens_says_so() =>
        session.With("quay.rig", "rig \"Lantern Quay\"\n").Run("figures").Output.Should().Be("all day\n  No feed ends where somebody listens.\n\n");

    [Fact]
    public void A_trace_says_when_sound_is_at_each_step()
    {
        var lines = session.Run("trace", "desk.out[3]", "quay.rig").Lines;

        lines[0].Should().Be("desk.out[3]  after 1.5 to 1.9 ms");
        lines.Should().Contain(l => l.Contains("<- desk.mix[2]") && l.Contains("inside desk, after 1 to 1.3 ms"));
        session.Run("trace", "floor", "quay.rig").Lines.Should().Contain(l => l.Contains("-> wedge[1].sound") && l.Contains("after at least 1.2 ms, delay unknown"));
    }
}
