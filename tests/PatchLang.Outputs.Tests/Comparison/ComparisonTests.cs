using FluentAssertions;
using PatchLang.Outputs.Comparison;
using Xunit;

namespace PatchLang.Outputs.Tests.Comparison;

/// <summary>What a crew is told of each sort of change, word for word.</summary>
public sealed class ComparisonTests
{
    [Fact]
    public void The_rig_itself_has_no_finding() => Quay.Compile(Quay.Rig).Findings.Should().BeEmpty();

    [Fact]
    public void A_microphone_moves_in_one_act() =>
        Quay.Says(("rack.mic[9] -> desk.expansion.net[5]", "rack.mic[10] -> desk.expansion.net[5]")).Should().Be("""
            unplug
              unplug rack.mic[9]: Lead vocal (during bells)
            plug
              plug into rack.mic[10], from rack.mic[9]: Lead vocal (during bells)
            route
              desk.expansion.net[5] takes rack.net[10] (it took rack.net[9]): Lead vocal (during bells)
            check
              listen from source to ear, with levels at the bottom: Lead vocal

            """);

    [Fact]
    public void A_line_with_phantom_power_has_it_off_before_it_is_touched_and_on_after() =>
        Quay.Says(("rack.mic[1] -> desk.expansion.net[1]", "rack.mic[2] -> desk.expansion.net[1]")).Should().Be("""
            phantom_off
              rack.mic[1]: Fiddle
            unplug
              unplug rack.mic[1]: Fiddle
            plug
              plug into rack.mic[2], from rack.mic[1]: Fiddle
            route
              desk.expansion.net[1] takes rack.net[2] (it took rack.net[1]): Fiddle
            phantom_on
              rack.mic[2]: Fiddle
            check
              listen from source to ear, with levels at the bottom: Fiddle

            """);

    [Fact]
    public void A_row_that_moves_is_one_line() =>
        Quay.Says(("rack.mic[11..14] -> desk.expansion.net[11..14]", "rack.mic[21..24] -> desk.expansion.net[11..14]")).Should().Be("""
            unplug
              unplug rack.mic[11..14]: Tom 1, Tom 2, Tom 3, Tom 4
            plug
              plug into rack.mic[21..24], from rack.mic[11..14]: Tom 1, Tom 2, Tom 3, Tom 4
            route
              desk.expansion.net[11..14] takes rack.net[21..24] (it took rack.net[11..14]): Tom 1, Tom 2, Tom 3, Tom 4
            check
              listen from source to ear, with levels at the bottom: Tom 1, Tom 2, Tom 3, Tom 4

            """);

    [Fact]
    public void Phantom_power_by_itself() =>
        Quay.Says((" { phantom }", "")).Should().Be("""
            phantom_off
              rack.mic[1]

            """);

    [Fact]
    public void Another_microphone_on_a_line() =>
        Quay.Says(("{ phantom }", "{ phantom  mic = \"clip\"  stand = \"none\" }")).Should().Be("""
            phantom_off
              rack.mic[1]
            plug
              fiddle: microphone or box clip (nothing was written)
              fiddle: stand none (nothing was written)
            phantom_on
              rack.mic[1]

            """);

    [Fact]
    public void A_cable_of_another_length() =>
        Quay.Says(("coax 5 m \"M1\"", "coax 12 m \"M1\"")).Should().Be("""
            unplug
              unplug the cable desk.madi to recorder.madi ("M1", coax, 5 m)
            plug
              plug a cable desk.madi to recorder.madi ("M1", coax, 12 m)

            """);

    [Fact]
    public void A_cable_with_another_label_stays_where_it_is() =>
        Quay.Says(("\"M1\"", "\"M2\"")).Should().Be("""
            label
              desk.madi to recorder.madi: "M2" (it was "M1")

            """);

    [Fact]
    public void A_cable_that_goes_to_another_socket() =>
        Quay.Says(("pa.line[1..2] :", "pa.line[3..4] :"), ("pa.area[1..2]", "pa.area[3..4]")).Should().Be("""
            unplug
              unplug the cable desk.line[1..2] to pa.line[1..2] ("P 1..2", twisted_pair, 40 m)
            plug
              plug the same cable desk.line[1..2] to pa.line[3..4] ("P 1..2", twisted_pair, 40 m; it was desk.line[1..2] to pa.line[1..2])
            heard
              pa.area[1..2] no longer hears Fiddle, Lead vocal, Tom 1, Tom 2, Tom 3, Tom 4
              pa.area[3..4] also hears Fiddle, Lead vocal, Tom 1, Tom 2, Tom 3, Tom 4

            """);

    [Fact]
    public void A_cable_that_comes_with_its_unit_and_what_is_heard_there() =>
        Quay.Says(("unit recorder", "unit loop     : LoopAmplifier     \"Hearing loop\"\nunit recorder"), ("reserve", "cable desk.line[5] -> loop.line : twisted_pair 5 m \"L\"\nreserve"),
            ("expect", "feed speech \"Speech\" : sum(lead after fader) -> desk.mix[1] -> desk.line[5] -> loop.loop { public }\nexpect")).Should().Be("""
            signals
              speech comes: Speech
            fit
              set up loop, a LoopAmplifier
            plug
              plug a cable desk.line[5] to loop.line ("L", twisted_pair, 5 m)
            time
              set the rate to 48 kHz: loop
            route
              desk.line[5] takes desk.mix[1]: Speech
            mix
              desk.mix[1]: bring in desk.ch[5], after fader: Lead vocal
            label
              loop: "Hearing loop"
              speech: "Speech"
            check
              listen from source to ear, with levels at the bottom: Lead vocal, Speech
            heard
              loop.loop also hears Lead vocal
            written
              speech is public now

            """);

    [Fact]
    public void Another_card() =>
        Quay.Says(("NetCard(64)", "NetCard(32)")).Should().Be("""
            fit
              in desk.expansion, exchange the NetCard(64) for a NetCard(32)

            """);

    [Fact]
    public void A_unit_stands_elsewhere() =>
        Quay.Says(("stage left", "stage right")).Should().Be("""
            fit
              move rack to: stage right (it stood at: stage left)

            """);

    [Fact]
    public void A_rate_of_its_own() =>
        Quay.Between(Quay.Rig, Quay.With(("rate 48 kHz", "rate 96 kHz"))).Changes.Should().Contain(c => c.Kind == ChangeKind.Rate && c.Subject == "desk" && c.Was == "48 kHz" && c.Now == "96 kHz");

    [Fact]
    public void A_rate_of_the_whole_rig_is_one_line() =>
        Quay.Says(("rate 48 kHz", "rate 44.1 kHz")).Should().Contain("  set the rate to 44.1 kHz (it was 48 kHz): desk, pa, rack, recorder\n");

    [Fact]
    public void Clocks_and_who_stands_by() =>
        Quay.Says(("timekeeper desk { standby rack }", "timekeeper rack { standby desk }"), ("follow rack from net\n", ""), ("follow desk.expansion from host", "follow desk.expansion from net\nfollow desk from expansion")).Should().Be("""
            time
              desk: let it follow expansion (it did run free)
              desk.expansion: let it follow net (it did follow host)
              rack: let it run free (it did follow net)
              make desk the standby (it was the timekeeper)
              make rack the timekeeper (clock leader) (it was the standby)
            check
              network stage is led by rack (it was by desk.expansion)

            """);

    [Fact]
    public void A_network_joined_and_its_latency() =>
        Quay.Says(("latency 1 ms", "latency 2 ms"), ("unit recorder", "unit guest : StageRack(8, 8) \"Guest rack\"\nunit recorder"), ("join rack.net", "join rack.net, guest.net"), ("follow rack from net", "follow rack from net\nfollow guest from net")).Should().Be("""
            fit
              set up guest, a StageRack(8, 8)
            time
              join guest.net to network stage
              network stage: latency 2 ms (it was 1 ms)
              set the rate to 48 kHz: guest
              guest: let it follow net
            label
              guest: "Guest rack"
            heard
              pa.area[1..2]: sound arrives … after it left its source (it was …)
              recorder.track[1..6]: sound arrives … after it left its source (it was …)

            """);

    [Fact]
    public void A_mix_with_other_members_taps_and_gains() =>
        Quay.Says(("sum(band after fader)", "sum(fiddle after fader -6 dB, lead before fader)")).Should().Be("""
            mix
              desk.main[1..2]: take out desk.ch[11..14]: Tom 1, Tom 2, Tom 3, Tom 4
              desk.main[1..2]: set desk.ch[1] to after fader, -6 dB (it was after fader): Fiddle
              desk.main[1..2]: set desk.ch[5] to before fader (it was after fader): Lead vocal
            check
              listen from source to ear, with levels at the bottom: Fiddle, Lead vocal
            heard
              pa.area[1..2] no longer hears Tom 1, Tom 2, Tom 3, Tom 4
              pa.area[1..2]: another balance, set at desk.main[1..2]

            """);

    [Fact]
    public void A_label() =>
        Quay.Says(("\"Fiddle\"", "\"Violin\"")).Should().Be("""
            label
              fiddle: "Violin" (it was "Fiddle")

            """);

    [Fact]
    public void A_delay_and_a_note() =>
        Quay.Says(("{ phantom }", "{ phantom  delay = 12 ms  note = \"plays sitting\" }")).Should().Be("""
            mix
              fiddle: delay 12 ms (nothing was written)
            heard
              pa.area[1..2]: sound arrives … after it left its source (it was …)
              recorder.track[1]: sound arrives … after it left its source (it was …)
            written
              fiddle: note plays sitting (nothing was written)

            """);

    // By hand: 2 ms in the box, and 12 ms on purpose.
    [Fact]
    public void When_sound_arrives_is_told_with_its_figures()
    {
        const string box = """
            rate 48 kHz
            format wire { joins point_to_point  way one }
            gear Box {
              in  a : wire
              out b : wire { listener }
              route a -> b fixed
              latency a -> b 2 ms
            }
            unit box : Box
            feed voice : box.a -> box.b

            """;

        Quay.Said(Quay.Between(box, box.Replace("-> box.b\n", "-> box.b { delay = 12 ms }\n", StringComparison.Ordinal)), withFigures: true).Should().Be("""
            mix
              voice: delay 12 ms (nothing was written)
            heard
              box.b: sound arrives 14 ms after it left its source (it was 2 ms)

            """);
    }

    [Fact]
    public void A_socket_kept_free_and_one_no_longer() =>
        Quay.Says(("rack.mic[31..32] \"spare pair\"", "rack.mic[30..31] \"spare pair\"")).Should().Be("""
            label
              keep rack.mic[30] free: spare pair
              rack.mic[32] is no longer kept free (spare pair)

            """);

    [Fact]
    public void A_promise_and_a_declaration() =>
        Quay.Says(("expect house hears lead", "expect house hears fiddle\ngear Box \"box\" { in a : analog }")).Should().Be("""
            written
              gear Box is new
              promised now: expect house hears fiddle
              no longer promised: expect house hears lead

            """);

    [Fact]
    public void A_feed_that_holds_in_further_acts_is_told_for_those() =>
        Quay.Says(("rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5] during tide", "rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5]"), ("feed lead \"Lead vocal\" : rack.mic[9] -> desk.expansion.net[5] -> desk.ch[5] during bells\n", "")).Should().Be("""
            unplug
              unplug rack.mic[9]: Lead vocal (during bells)
            plug
              plug into rack.mic[5], from rack.mic[9]: Lead vocal (during bells)
            route
              desk.expansion.net[5] takes rack.net[5] (it took rack.net[9]): Lead vocal (during bells)
            check
              listen from source to ear, with levels at the bottom: Lead vocal

            """);

    [Fact]
    public void An_act_that_comes_is_told_with_what_is_its_own_alone() =>
        Quay.Says(("act bells", "act ferry \"The Night Ferry\" after bells\nact bells"), ("expect", "feed horn \"Horn\" : rack.mic[20] -> desk.expansion.net[20] -> desk.ch[20] during ferry\nexpect")).Should().Be("""
            day
              act ferry is new: The Night Ferry
              act ferry comes after bells
            signals
              horn comes: Horn (during ferry)
            plug
              plug into rack.mic[20]: Horn (during ferry)
            route
              desk.ch[20] takes desk.expansion.net[20]: Horn (during ferry)
              desk.expansion.net[20] takes rack.net[20]: Horn (during ferry)
            label
              horn: "Horn" (during ferry)
            check
              listen from source to ear, with levels at the bottom: Horn

            """);

    [Theory]
    [InlineData("rack", "box", "unit rack is now called box")]
    [InlineData("desk", "console", "unit desk is now called console")]
    [InlineData("stage", "quay", "network stage is now called quay")]
    [InlineData("fiddle", "violin", "feed fiddle is now called violin")]
    [InlineData("house", "mains", "feed house is now called mains")]
    [InlineData("bells", "ringers", "act bells is now called ringers")]
    public void What_is_called_otherwise_is_the_same_thing(string was, string now, string says)
    {
        var renamed = System.Text.RegularExpressions.Regex.Replace(Quay.Rig, $@"(?<![\w""/]){was}\b(?! left|"")", now, System.Text.RegularExpressions.RegexOptions.None, TimeSpan.FromSeconds(5));

        Quay.Compile(renamed).Findings.Should().BeEmpty();
        Quay.Said(Quay.Between(Quay.Rig, renamed)).Should().Be($"names\n  {says}\n");
    }

    [Fact]
    public void What_could_be_either_of_two_came_and_went()
    {
        const string two = "\ngear Box { out a : analog }\nunit one : Box\nunit two : Box\n";

        var changes = Quay.Between(Quay.Rig + two, Quay.Rig + two.Replace("unit one", "unit three", StringComparison.Ordinal).Replace("unit two", "unit four", StringComparison.Ordinal)).Changes;

        changes.Should().NotContain(c => c.Kind == ChangeKind.Name);
        changes.Where(c => c.Kind == ChangeKind.Unit).Select(c => (c.Subject, c.IsAdded)).Should().BeEquivalentTo([("one", false), ("two", false), ("three", true), ("four", true)]);
    }

    [Fact]
    public void A_finding_that_comes_is_told_with_its_code() =>
        Quay.Says(("rack.mic[9]", "rack.mic[31]")).Should().Contain("found\n  error PL0901: rack.mic[31] is reserved during bells: spare pair\n");

    [Fact]
    public void What_an_error_hides_is_said_to_be_unknown_and_not_to_be_gone()
    {
        var changes = Quay.Between(Quay.Rig, Quay.With(("rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1]", "rack.mic[1] -> desk.nowhere[1] -> desk.ch[1]")));

        changes.Unknown.Select(u => (u.Name, u.IsInNew)).Should().Contain(("fiddle", true));
        ChangeReport.Of(changes).Remarks.Should().Contain(r => r.StartsWith("The new plan has an error", StringComparison.Ordinal)).And.Contain(r => r.Contains("fiddle", StringComparison.Ordinal));
        changes.Changes.Should().Contain(c => c.Kind == ChangeKind.Finding && c.IsAdded);
        changes.Changes.Should().NotContain(c => c.Kind == ChangeKind.Signal || c.Kind == ChangeKind.Source || c.Kind == ChangeKind.Heard);
    }
}
