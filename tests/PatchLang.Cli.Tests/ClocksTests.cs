using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class ClocksTests : IDisposable
{
    private const string Gear = """
        rig "Lantern Quay"
        rate 48 kHz
        format net { joins switched  way both  time shared  channels 64 at 32..96 kHz }
        gear Desk {
          port net : net { in 8  out 8 }
          slot bay : card_slot
          clock main { accuracy = 10 ppm  from internal, net, bay }
        }
        card Card for card_slot {
          port  net : net { in 8  out 8 }
          clock main { accuracy = 20 ppm  from internal, host, net }
        }
        unit desk : Desk { bay = Card }
        unit rack : Desk
        network stage : net { join desk.bay.net, rack.net }
        feed a : rack.net[1] -> desk.bay.net[1]

        """;

    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void Each_stands_below_the_one_it_follows()
    {
        session.With("quay.rig", Gear + "timekeeper desk { standby rack }\nfollow desk.bay from host\nfollow rack from net\n");

        session.Run("clocks", "quay.rig").Should().Be(new Outcome(
            0,
            """
            all day
              desk                        runs free (within 10 ppm), timekeeper
                desk.bay                  follows host
                  rack                    follows net, standby

              network stage: led by desk.bay, on the clock of desk (its priority 1 is 126, that of rack 127)
                priority 1 of desk.bay: 126
                priority 1 of rack: 127

              if desk is lost
                network stage: led by rack
                nothing that is still heard slips

            Nothing is wrong with the clocks.

            """,
            ""));
    }

    [Fact]
    public void A_plan_with_nothing_that_has_a_clock_says_so() =>
        session.With("quay.rig", "rig \"Lantern Quay\"\n").Run("clocks", "quay.rig").Should().Be(new Outcome(0, "There is nothing with a clock in the plan.\n", ""));

    [Fact]
    public void Unless_an_error_may_hide_it() =>
        session.With("quay.rig", "rig \"Lantern Quay\"\nunit desk : Desk\n").Run("clocks", "quay.rig").Output.Should().Be(
            "There is nothing with a clock in the plan.\nAs far as they are known, nothing is wrong with the clocks; 1 error elsewhere in the plan may hide some of them: patchlang check.\n");

    [Fact]
    public void What_is_wrong_stands_below_and_exits_with_1()
    {
        session.With("quay.rig", Gear + "timekeeper desk\nfollow rack from net\nfollow desk from bay\n follow desk.bay from host\n");

        var outcome = session.Run("clocks", "quay.rig");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("a circle, with no time of its own").And.Contain("error PL0502: ");
    }

    // Both within 10 ppm; by hand: 1 s / (48 000 · 20 · 10⁻⁶) = 1.04 s.
    [Fact]
    public void What_slips_when_the_timekeeper_is_lost_is_shown_with_how_often()
    {
        session.With("quay.rig", """
            rate 48 kHz
            format word { joins shared  way one  time embedded }
            format aes  { joins point_to_point  way one  channels 2 at 32..192 kHz  time embedded }
            gear Generator { out word_out[3] : word  clock main { accuracy = 1 ppm  from internal } }
            gear Player    { out play[2] : aes  in word_in : word  clock main { accuracy = 10 ppm  from word_in, internal } }
            gear Recorder  { in track[2] : aes { recorder }  in word_in : word  clock main { accuracy = 10 ppm  from word_in, internal } }
            gear Effects   { in word_in : word  clock main { from word_in } }
            unit generator : Generator
            unit player    : Player
            unit recorder  : Recorder
            unit effects   : Effects
            cable generator.word_out[1] -> player.word_in   : 5 m
            cable generator.word_out[2] -> recorder.word_in : 5 m
            cable generator.word_out[3] -> effects.word_in  : 5 m
            cable player.play           -> recorder.track   : 5 m
            timekeeper generator
            feed song[1..2] : player.play[1..2] -> recorder.track[1..2]

            """);

        session.Run("clocks", "quay.rig").Output.Should().Contain("""
              if generator is lost
                player and recorder run free
                effects gets no time
                player.play -> recorder.track: a click every 4 to 10 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 1.04 s at worst (10 and 10 ppm, added)

            """);
    }

    [Fact]
    public void Who_leads_by_identity_alone_is_said_to_be_undecided()
    {
        session.With("quay.rig", """
            rate 48 kHz
            format net { joins switched  way both  time shared }
            gear Box { port net : net { in 2  out 2 }  clock main { accuracy = 10 ppm  from net, internal } }
            unit box[1..3] : Box
            network stage : net { join box.net }
            timekeeper box[1]

            """);

        var output = session.Run("clocks", "quay.rig").Output;
        output.Should().Contain("  network stage: led by box[1]\n    priority 1 of box[1]: 127\n");
        output.Should().Contain("    network stage: led by box[2] or box[3], as their identities decide");
    }

    [Fact]
    public void Acts_in_which_they_differ_are_shown_apart()
    {
        session.With("quay.rig", Gear + """
            act tide
            act bells
            timekeeper desk during tide
            timekeeper rack during bells
            follow desk.bay from host during tide
            follow desk.bay from net during bells
            follow desk from bay during bells
            follow rack from net during tide

            """);

        session.Run("clocks").Lines.Where(l => !l.StartsWith(' ')).Should().Contain(["during tide", "during bells"]);
        session.Run("clocks", "--act", "bells").Lines.Take(4).Should().Equal(
            "during bells",
            "  rack                        runs free (within 10 ppm), timekeeper",
            "    desk.bay                  follows net",
            "      desk                    follows bay");
    }
}
