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

            Nothing is wrong with the clocks.

            """,
            ""));
    }

    [Fact]
    public void What_is_wrong_stands_below_and_exits_with_1()
    {
        session.With("quay.rig", Gear + "timekeeper desk\nfollow rack from net\nfollow desk from bay\n follow desk.bay from host\n");

        var outcome = session.Run("clocks", "quay.rig");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("a circle, with no time of its own").And.Contain("error PL0502: ");
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
