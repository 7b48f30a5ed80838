using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Graph;

/// <summary>What outputs, editor and scripts read of a plan's feeds.</summary>
public sealed class FeedWayTests
{
    private static readonly Compilation Quay = Samples.Compile("lantern-quay/lantern-quay.rig");

    [Fact]
    public void A_way_has_the_points_it_passes_and_says_which_are_filled_in()
    {
        var fiddle = Way("fiddle");

        fiddle.Origin.Should().Be(WayOrigin.Socket);
        fiddle.StopsOf(0).Select(s => (s.Point.ToString(), s.IsFilledIn)).Should().Equal(
            ("split.stage[12]", false), ("split.direct[12]", true), ("rack.mic[12]", true), ("rack.net[12]", true), ("desk.expansion.net[12]", false), ("desk.ch[12]", false));
        fiddle.StopsOf(0).Select(s => s.By?.Kind).Should().Equal(null, HopKind.Route, HopKind.Cable, HopKind.Route, HopKind.Network, HopKind.Route);
        fiddle.EndsOf(0).Should().ContainSingle().Which.ToString().Should().Be("desk.ch[12]");
    }

    [Fact]
    public void Its_edges_are_those_of_the_graph_under_their_numbers()
    {
        foreach (var way in Quay.Ways)
            for (var edge = way.FirstEdge; edge < way.FirstEdge + way.EdgeCount; edge++)
                Quay.WayOf(edge).Should().BeSameAs(way);
        foreach (var way in Quay.Ways)
            for (var element = 0; element < way.Count; element++)
                foreach (var stop in way.StopsOf(element).Where(s => s.Edge >= 0))
                    Quay.Graph.ToOf(stop.Edge).Should().Be(stop.Point.Node);
        Quay.Ways.Sum(w => w.EdgeCount).Should().Be(Quay.Graph.EdgeCount);
    }

    [Fact]
    public void Label_microphone_and_phantom_follow_the_signal_down_and_a_note_does_not()
    {
        var plan = Compile("""
            feed choir[1..2] "Altos", "Basses" : rack.mic[1..2] -> rack.net[1..2] { mic = "condenser"  phantom  note = "far out" }
            feed solo : choir[2] -> desk.net[2] -> desk.ch[2]
            bundle all : choir, solo
            feed pair[L, R] "Pair" : rack.mic[3..4] -> rack.net[3..4]
            """);

        var solo = plan.Ways.Single(w => w.Name == "solo");
        (solo.TitleOf(0), solo.MicOf(0), solo.HasPhantom(0), solo.Note).Should().Be(("Basses", "condenser", true, null));
        solo.Members.Should().ContainSingle().Which.Should().Match<WayMember>(m => m.Way!.Name == "choir" && m.Element == 1 && m.Point.ToString() == "rack.net[2]");
        plan.Ways.Single(w => w.Name == "all").Members.Select(m => m.Way!.NameOf(m.Element)).Should().Equal("choir[1]", "choir[2]", "solo");
        plan.Ways.Single(w => w.Name == "pair").TitleOf(1).Should().Be("Pair R");
        plan.Ways.Single(w => w.Name == "choir").NameOf(1).Should().Be("choir[2]");
    }

    [Fact]
    public void Feeds_that_are_written_alike_share_their_hops()
    {
        var plan = Compile("""
            feed alto : rack.mic[1] -> rack.net[1]
            feed bass : rack.mic[2] -> rack.net[2]
            feed soprano : rack.mic[3] -> rack.net[3]
            """);

        var hops = plan.Ways.Select(w => w.StopsOf(0)[1].By).ToArray();
        hops[1].Should().BeSameAs(hops[0]);
        hops[2].Should().NotBeSameAs(hops[0], "it stands elsewhere in its statement");
    }

    [Fact]
    public void A_mix_names_its_members_with_tap_gain_and_the_places_they_go_to()
    {
        var mix = Way("mara_mix");

        mix.Origin.Should().Be(WayOrigin.Sum);
        var hat = mix.Members.Single(m => m.Way!.TitleOf(m.Element) == "Hi-hat");
        (hat.Point.ToString(), hat.Tap, hat.Gain, hat.Places.Length).Should().Be(("mon.ch[4]", Tap.BeforeFader, -12.0, 2));
        Way("presenter_mix").Members.Single(m => m.Way!.TitleOf(m.Element) == "Sea sounds R").Places.Should().Equal(1);
        mix.Members.Single(m => m.Way!.TitleOf(m.Element) == "Stage talkback").Gain.Should().BeNull();
        mix.IsPrivate(0).Should().BeTrue("the talkback is in it");
        Way("house").IsPrivate(0).Should().BeFalse();
    }

    [Fact]
    public void Alternatives_are_members_of_one_choice()
    {
        var sea = Way("sea");

        sea.Origin.Should().Be(WayOrigin.Either);
        sea.Members.Select(m => (m.Way!.Name, m.Places[0], m.Point.ToString())).Should().Equal(
            ("playing", 0, "changeover.a[1]"), ("playing", 1, "changeover.a[2]"), ("waiting", 0, "changeover.b[1]"), ("waiting", 1, "changeover.b[2]"));
        sea.Members.Select(m => m.Alternatives).Should().NotContainNulls().And.Subject.Distinct().Should().ContainSingle();
    }

    [Fact]
    public void An_insert_is_a_way_of_its_own()
    {
        var plan = Compile("insert desk.ch[5] \"Compressor\" : desk.line[1] -> desk.local[1]");

        plan.Ways.Should().ContainSingle().Which.Should().Match<FeedWay>(w => w.Origin == WayOrigin.Insert && w.Name == "Compressor" && w.Feed == null);
    }

    [Fact]
    public void Everything_knows_its_place_in_the_text()
    {
        Where(Way("fiddle").Place).Should().Be("inputs.rig: fiddle");
        Where(Quay.PlaceOf(Quay.Rig.Cables[0])).Should().Be("equipment.rig: cable");
        Where(Quay.PlaceOf(Quay.Acts[1])).Should().Be("lantern-quay.rig: bells");
        Where(Quay.PlaceOf(Way("fiddle").StopsOf(0)[1].Edge)).Should().Be("inputs.rig: desk.expansion.net[12]");
        Quay.Reservations.Select(r => (r.Why, Where(r.Place))).Should().Equal(
            ("spare lines, coiled at the foot of the crane", "equipment.rig: split.stage[41..42]"), ("the fader sticks", "equipment.rig: desk.ch[48]"));
        Quay.Looms.Select(l => l.Name).Should().Equal("red", "green", "blue");

        static string Where(PatchLang.Findings.Place place) => $"{place.Source.Path}: {place.Source.Slice(place.Span)}";
    }

    [Fact]
    public void What_is_broken_is_said_to_be_and_nothing_is_made_up()
    {
        var plan = Compile("""
            feed a : rack.mic[1] -> nowhere.at[1]
            feed b : a -> desk.ch[1]
            feed c : d
            feed d : c
            feed e "Named alone" : rack.mic[8]
            """);

        plan.Ways.Single(w => w.Name == "a").IsBroken(0).Should().BeTrue();
        plan.Ways.Single(w => w.Name == "a").EndsOf(0).Should().BeEmpty();
        plan.Ways.Single(w => w.Name == "c").Should().Match<FeedWay>(w => w.IsUnknown && w.LabelOf(0) == null && !w.IsPrivate(0));
        plan.Ways.Single(w => w.Name == "e").Should().Match<FeedWay>(w => w.Origin == WayOrigin.Socket && w.TitleOf(0) == "Named alone" && w.EndsOf(0)[0].ToString() == "rack.mic[8]");
    }

    private static FeedWay Way(string name) => Quay.Ways.First(w => w.Name == name);

    private static Compilation Compile(string feeds) => Compilation.Create(new SourceText("quay.rig", $$"""
        rig "Lantern Quay"
        format net { joins switched  way both  time shared }
        format wire { joins point_to_point  way one  time none }
        gear Rack { in mic[8] : wire { phantom }  port net : net { in 8 out 8 }  route mic -> net fixed  clock main { from net } }
        gear Desk {
          strip ch[8]
          bus mix[2]
          in local[2] : wire
          out line[2] : wire
          port net : net { in 8 out 8 }
          route net, local -> ch free
          route ch -> line, mix free
          clock main { from internal }
        }
        unit rack : Rack
        unit desk : Desk
        network stage : net { join rack.net, desk.net }
        timekeeper desk
        {{feeds}}
        """), _ => FileReading.Failed(FileProblem.NotFound));
}
