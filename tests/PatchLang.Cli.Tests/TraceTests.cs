using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class TraceTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        format line { joins point_to_point  way one  time none }
        gear Rack { in mic[4] : line  out line[4] : line  route mic -> line fixed  latency mic -> line 0 ms }
        gear Desk {
          in    local[4] : line
          strip ch[4]
          bus   mix[2] { before fader }
          out   out[4] : line
          route local   -> ch  free
          route ch      -> mix free
          route ch, mix -> out free
          latency local -> ch  0 ms
          latency ch    -> mix 0 ms
          latency ch    -> out 0 ms
          latency mix   -> out 0 ms
        }
        gear Wedge { in line : line  out sound : line { listener }  route line -> sound fixed  latency line -> sound 0 ms }
        act tide  "The Tide Band"
        act bells "Harbour Bells"
        unit rack  : Rack
        unit desk  : Desk
        unit wedge : Wedge
        cable rack.line[1..4] -> desk.local[1..4] : 15 m "L"
        feed lead   "Lead"   : rack.mic[1] -> desk.local[1] -> desk.ch[1] during tide
        feed lead   "Lead"   : rack.mic[2] -> desk.local[2] -> desk.ch[1] during bells
        feed fiddle "Fiddle" : rack.mic[3] -> desk.local[3] -> desk.ch[3]
        feed ears   "Wedge"  : sum(lead before fader, fiddle before fader -6 dB) -> desk.mix[1] -> desk.out[1] -> wedge.line -> wedge.sound
        """;

    private readonly Session session = new();

    public TraceTests() => session.With("quay.rig", Plan);

    public void Dispose() => session.Dispose();

    [Fact]
    public void A_point_is_shown_with_everything_before_and_behind_it()
    {
        session.Run("trace", "desk.mix[1]", "quay.rig").Should().Be(new Outcome(
            0,
            """
            desk.mix[1]
              comes from
                + <- desk.ch[1]       inside desk, before fader, feed ears "Wedge"
                  + <- desk.local[1]  inside desk, feed lead "Lead", during tide
                    <- rack.line[1]   cable "L 1" 15 m, filled in
                    <- rack.mic[1]    inside rack, filled in
                  + <- desk.local[2]  inside desk, feed lead "Lead", during bells
                    <- rack.line[2]   cable "L 2" 15 m, filled in
                    <- rack.mic[2]    inside rack, filled in
                + <- desk.ch[3]       inside desk, before fader, -6 dB, feed ears "Wedge", all day
                  <- desk.local[3]    inside desk, feed fiddle "Fiddle"
                  <- rack.line[3]     cable "L 3" 15 m, filled in
                  <- rack.mic[3]      inside rack, filled in
              goes to
                -> desk.out[1]  inside desk, feed ears "Wedge"
                -> wedge.line   a cable that no statement declares
                -> wedge.sound  inside wedge


            """,
            ""));
    }

    [Fact]
    public void A_feed_is_shown_from_where_it_starts()
    {
        var outcome = session.Run("trace", "fiddle", "quay.rig");

        outcome.Lines[0].Should().Be("rack.mic[3]");
        outcome.Lines[1].Should().Be("  goes to");
        outcome.Lines[2].Should().StartWith("    -> rack.line[3]").And.EndWith("inside rack, filled in, feed fiddle \"Fiddle\"");
        outcome.Lines[^1].Should().StartWith("    -> wedge.sound");
    }

    [Fact]
    public void One_act_shows_what_holds_in_it()
    {
        var outcome = session.Run("trace", "desk.ch[1]", "--act", "bells");

        outcome.Output.Should().Contain("rack.mic[2]").And.NotContain("rack.mic[1]").And.NotContain("during");
    }

    [Fact]
    public void Where_nothing_is_patched_it_says_so() =>
        session.Run("trace", "rack.mic[4]").Should().Be(new Outcome(0, "Nothing is patched there.\n", ""));

    [Theory]
    [InlineData("feed x = \"X\" : rack.mic[4] -> desk.local[4]", "the error at quay.rig:28 may hide what is")]
    [InlineData("use \"inputs.rig\"", "the error at quay.rig:28 may hide what is")]
    [InlineData("use \"inputs.rig\"\nuse \"outputs.rig\"", "2 errors, the first at quay.rig:28, may hide what is")]
    public void Where_a_part_of_the_plan_could_not_be_read_nothing_patched_is_not_known(string broken, string says) =>
        session.With("quay.rig", Plan + "\n" + broken + "\n").Run("trace", "rack.mic[4]").Lines[0].Should().Be($"Nothing is known to be patched there, and {says}.");

    [Fact]
    public void A_plan_with_errors_is_shown_as_far_as_it_goes()
    {
        var outcome = session.With("quay.rig", Plan + "\nfeed x : rack.mic[4] -> nowhere\n").Run("trace", "desk.ch[3]");

        outcome.ExitCode.Should().Be(0);
        outcome.Lines[^1].Should().Be("The plan has an error: what could not be resolved is not shown. See patchlang check.");
    }

    [Theory]
    [InlineData("desk.chs[1]")]
    [InlineData("desc.ch[1]")]
    [InlineData("desk.ch[5]")]
    [InlineData("1 + 1")]
    [InlineData("")]
    public void What_is_no_point_is_one_line_and_exits_with_2(string point)
    {
        var outcome = session.Run("trace", point, "quay.rig");

        outcome.ExitCode.Should().Be(2);
        outcome.Output.Should().BeEmpty();
        outcome.Error.Should().MatchRegex(@"^patchlang: quay\.rig: [^\n]+\n$");
    }

    [Theory]
    [InlineData("none", "patchlang: there is no act none; there are tide, bells\n")]
    public void An_unknown_act_is_named(string act, string says) => session.Run("trace", "lead", "--act", act).Should().Be(new Outcome(2, "", says));

    [Fact]
    public void Of_several_plans_one_must_be_named()
    {
        session.With("bells.rig", "rig \"Bells\"\n");

        session.Run("trace", "lead").Should().Be(new Outcome(2, "", "patchlang: . has 2 plans; name one of them: bells.rig, quay.rig\n"));
    }
}
