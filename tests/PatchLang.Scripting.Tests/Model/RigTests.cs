using FluentAssertions;
using PatchLang.Scripting.Model;
using Xunit;
using static PatchLang.Scripting.Tests.SamplePlans;

namespace PatchLang.Scripting.Tests.Model;

/// <summary>A plan as objects, read off the harbour stage: each expectation can be read in its files.</summary>
public sealed class RigTests
{
    [Fact]
    public void A_rig_has_its_title_its_rate_and_its_acts()
    {
        LanternQuay.Name.Should().Be("Lantern Quay, harbour stage");
        LanternQuay.Rate.Should().Be(48.kHz);
        LanternQuay.Acts.Select(a => a.Name).Should().Equal("tide", "bells", "ferry");
        LanternQuay.Acts[2].After.Should().BeSameAs(LanternQuay.Acts[1]);
    }

    [Fact]
    public void Units_are_known_by_their_gear_and_by_what_it_has()
    {
        LanternQuay.UnitsOf("InEarTransmitter").Select(u => u.Title).Should().Equal("In-ears Mara", "In-ears Jonas", "In-ears drums", "In-ears presenter");
        LanternQuay.Desks.Select(u => u.Name).Should().Contain(["mon", "desk"]);
        LanternQuay.Units.Where(u => u.IsRecorder).Select(u => u.Name).Should().Equal("recorder", "van");
        LanternQuay.Unit("desk")!.StandsAt.Should().Be("tower");
        LanternQuay.Unit("nobody").Should().BeNull();
    }

    [Fact]
    public void A_card_knows_its_host_and_its_slot()
    {
        var card = LanternQuay.Unit("desk.expansion").Should().BeOfType<Card>().Subject;
        card.Host.Name.Should().Be("desk");
        card.Slot.Should().Be("expansion");
        card.Host.Cards.Should().Contain(card);
        card.Port("net")!.Network!.Name.Should().Be("quay");
        LanternQuay.Units.Should().NotContain(card);
    }

    [Fact]
    public void A_channel_is_used_or_free_or_kept_free()
    {
        LanternQuay.ChannelAt("desk.ch[1]").IsUsed.Should().BeTrue();
        LanternQuay.ChannelAt("desk.ch[32]").IsFree.Should().BeTrue();
        var kept = LanternQuay.ChannelAt("desk.ch[48]");
        kept.IsUsed.Should().BeFalse();
        kept.IsFree.Should().BeFalse();
        kept.Reserved!.Why.Should().Be("the fader sticks");
    }

    [Fact]
    public void A_channel_says_what_it_carries_and_when()
    {
        LanternQuay.ChannelAt("desk.ch[16]").Carries.Select(s => (s.Name, s.During.ToString())).Should().Contain([("keys[L]", "tide"), ("organ[L]", "bells")]);
        LanternQuay.ChannelAt("desk.ch[1]").ArrivesBy.Should().ContainSingle().Which.From.Name.Should().Be("desk.expansion.net[1]");
    }

    [Fact]
    public void A_channel_that_is_not_there_is_named()
    {
        var asked = () => LanternQuay.ChannelAt("desk.nothing[1]");
        asked.Should().Throw<ArgumentException>().WithMessage("*desk.nothing*");
    }

    [Fact]
    public void A_feed_goes_hop_by_hop_from_where_it_starts_to_where_it_ends()
    {
        var kick = LanternQuay.Feed("kick")!.Signals.Single();
        kick.Title.Should().Be("Kick");
        kick.Start!.Name.Should().Be("split.stage[1]");
        kick.End!.Name.Should().Be("desk.ch[1]");
        kick.Hops.Select(h => h.Kind).Should().Equal(HopKind.Route, HopKind.Cable, HopKind.Route, HopKind.Network, HopKind.Route);
        kick.Hops[1].Cable!.Loom.Should().Be("red");
        kick.Hops[3].Network!.Name.Should().Be("quay");
        kick.Hops.Should().OnlyContain(h => h.Place.File == "inputs.rig" && h.Place.Line == kick.Place.Line);
        kick.During.Select(a => a.Name).Should().Equal("tide", "ferry");
    }

    [Fact]
    public void A_feed_is_there_once_for_each_set_of_acts_in_which_it_differs() =>
        LanternQuay.FeedsNamed("bass").Select(f => f.During.ToString()).Should().Equal("tide", "ferry");

    [Fact]
    public void A_signal_is_heard_through_every_mix()
    {
        var lead = LanternQuay.FeedsNamed("lead")[0].Signals[0];
        lead.HeardBy.Select(c => c.Unit.Name).Distinct().Should().Contain(["pa", "loop_amp", "ears[mara]", "van", "belt[lights]"]).And.NotContain("recorder");
        LanternQuay.Feed("click")!.HeardBy.Select(c => c.Unit.Name).Should().Contain("mixer[bass]").And.NotContain("pa");
        LanternQuay.Feed("mara_mix")!.Hears(lead.Feed).Should().BeTrue();
        LanternQuay.Feed("house")!.Hears(LanternQuay.Feed("click")!).Should().BeFalse();
        LanternQuay.Feed("low")!.Signals[0].Origins.Select(c => c.Name).Should().Contain(["split.stage[1]", "split.stage[9]"]);
    }

    [Fact]
    public void A_mix_says_what_is_in_it_where_that_is_taken_and_how_loud()
    {
        var loop = LanternQuay.Feed("loop")!;
        loop.Origin.Should().Be(FeedOrigin.Mix);
        loop.Label.Should().Be("Hearing loop");
        loop.IsPublic.Should().BeTrue();
        var sea = loop.Members.First(m => m.Signal?.Feed.Name == "sea");
        sea.Gain.Should().Be(-10.dB);
        sea.Tap.Should().Be(TapPoint.AfterFader);
    }

    [Fact]
    public void A_latency_is_the_one_that_the_plan_s_own_promise_came_to()
    {
        var mix = LanternQuay.FeedsNamed("mara_mix");
        mix.SelectMany(f => f.Signals).All(s => s.Latency <= 5.ms && s.Latency > 0.ms).Should().BeTrue();
        var promise = LanternQuay.Promises.Single(p => p.Name.StartsWith("expect mara_mix latency", StringComparison.Ordinal));
        promise.State.Should().Be(PromiseState.Held);
        $"{mix.SelectMany(f => f.Signals).Max(s => s.Latency.Latest).TotalMilliseconds:0.###} ms".Should().Be(promise.Figure);
    }

    [Fact]
    public void What_is_unknown_is_neither_over_nor_within()
    {
        var unknown = new Latency(2.ms, 2.ms, IsKnown: false);
        (unknown <= 5.ms).Should().BeFalse();
        (unknown > 5.ms).Should().BeFalse();
        (unknown > 1.ms).Should().BeTrue();
        unknown.ToString().Should().Be("at least 2 ms");
    }

    [Fact]
    public void Networks_say_what_goes_over_them()
    {
        var quay = LanternQuay.Network("quay")!;
        quay.Link.Should().Be(1.Gbit);
        quay.Latency.Should().Be(1.ms);
        quay.Ports.Select(p => p.Name).Should().Contain(["rack.net", "desk.expansion.net", "switch.net"]);
        quay.Streams.Should().Contain(s => s.Sender.Name == "rack.net" && s.Receivers.Any(r => r.Name == "desk.expansion.net"));
        quay.Load.Should().NotBeNull();
        (quay.Load!.Value / quay.Link!.Value).Should().BeInRange(0.01, 0.5, "the plan allows half of the link, and the compiler is content");
    }

    [Fact]
    public void Cables_have_ends_a_length_and_a_way_in_their_multicore()
    {
        var cable = LanternQuay.Cables.Single(c => c.Loom == "green" && c.Way == 5);
        cable.Name.Should().Be("split.direct[29] -> rack.mic[29]");
        cable.Length.Should().Be(25.m);
        cable.Carries.Select(s => s.Title).Should().Equal("Altos");
        cable.Place.File.Should().Be("equipment.rig");
    }

    [Fact]
    public void Clocks_follow_each_other_to_a_root()
    {
        var clocks = LanternQuay.Clocks.ToDictionary(c => c.Name);
        clocks["desk"].IsFree.Should().BeTrue();
        clocks["desk"].IsTimekeeper.Should().BeTrue();
        clocks["rack"].IsStandby.Should().BeTrue();
        clocks["mon"].Follows!.Name.Should().Be("mon.expansion");
        clocks["mon"].Root.Should().BeSameAs(clocks["desk"]);
        clocks["to_van"].Root.Should().BeSameAs(clocks["van"]);
        clocks["mon"].Place.Text.Should().Be("follow");
    }

    [Fact]
    public void Everything_stands_where_the_plan_says_it()
    {
        var placed = LanternQuay.Units.Cast<IPlaced>().Concat(LanternQuay.Feeds).Concat(LanternQuay.Cables).Concat(LanternQuay.Networks).Concat(LanternQuay.Acts).Concat(LanternQuay.Reservations).ToList();
        placed.Should().HaveCountGreaterThan(200).And.OnlyContain(p => p.Place.Line >= 1 && p.Place.Length > 0);
        LanternQuay.Feed("kick")!.Place.Text.Should().Be("kick");
        LanternQuay.Unit("desk")!.Place.ToString().Should().MatchRegex(@"^equipment\.rig:\d+:6$");
    }

    [Fact]
    public void Findings_are_the_compiler_s()
    {
        var rig = Of("""
            rig "Pier"
            use "library/stage.rig"
            unit rack : StageRack(16, 8)
            feed a : rack.mic[17] -> rack.net[1]
            """);
        rig.Findings.Should().Contain(f => f.Code == "PL0301" && f.Severity == Severity.Error && f.Place.Line == 4);
    }

    [Fact]
    public void A_plan_full_of_mistakes_can_be_read_all_the_same()
    {
        var rig = Rig.Of(Compile("wrong/wrong.rig"));
        var read = () => rig.Feeds.SelectMany(f => f.Signals).Select(s => (s.Start, s.End, s.Latency, s.Level, s.HeardBy, s.Title)).ToList().Count
            + rig.Channels.Count(c => c.IsFree) + rig.Clocks.Count(c => c.Root is null) + rig.Networks.Sum(n => n.Loads.Count) + rig.Cables.Count(c => c.Carries.Any());
        read.Should().NotThrow();
    }

    [Fact]
    public void A_plan_without_acts_holds_all_day()
    {
        var rig = Of("""
            use "library/stage.rig"
            unit rack : StageRack(16, 8)
            feed a : rack.mic[1] -> rack.net[1]
            """);
        rig.Acts.Should().BeEmpty();
        rig.Feed("a")!.During.IsAllDay.Should().BeTrue();
        rig.Feed("a")!.During.ToString().Should().Be("all day");
        rig.Feed("a")!.During.Overlaps(rig.Unit("rack")!.During).Should().BeTrue();
    }

    [Fact]
    public void Quantities_are_written_as_findings_write_them()
    {
        44.1.kHz.ToString().Should().Be("44.1 kHz");
        (-6.dB).ToString().Should().Be("-6 dB");
        4.dBu.ToString().Should().Be("+4 dBu");
        12.5.m.ToString().Should().Be("12.5 m");
        1.Gbit.ToString().Should().Be("1 Gbit/s");
        new Latency(0.4.ms, 2.ms, true).ToString().Should().Be("0.4 to 2 ms");
    }
}
