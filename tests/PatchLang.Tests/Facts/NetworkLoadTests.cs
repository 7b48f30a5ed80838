using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Facts;

/// <summary>What goes over networks, against figures worked out by hand and against a count that knows nothing of the compiler's.</summary>
public sealed class NetworkLoadTests
{
    private static readonly Lazy<Compilation> quay = new(() => Samples.Compile("lantern-quay/lantern-quay.rig"));

    // The worked stream of eight channels, L24, 48 kHz, 1 ms: 8 · 48 · 3 = 1152 bytes, in a frame of 1152 + 12 + 8 + 20 + 18 = 1210
    // (RFC 3550, 768 and 791, IEEE 802.3), 20 more on the wire, 1000 times a second: 9.84 Mbit/s.
    [Fact]
    public void A_stream_of_eight_channels_is_what_the_worked_example_says()
    {
        var load = Compile("join box.net, desk.net  link 1 Gbit/s").Loads.All.Should().ContainSingle().Subject;

        load.Streams.Should().HaveCount(2);
        load.Streams[0].Packet!.Value.FrameBytes.Should().Be(1210);
        load.Streams[0].BitRate.Should().BeApproximately(9.84e6, 1e-3);
        load.Streams.Select(s => s.ToString()).Should().Equal("box.net[1..8]", "box.net[9..16]");
        load.BitRate.Should().BeApproximately(2 * 9.84e6, 1e-3);
        Port(load, "box.net").SendBitRate.Should().BeApproximately(2 * 9.84e6, 1e-3);
        Port(load, "box.net").TakeBitRate.Should().Be(0);
        Port(load, "desk.net").Takes.Should().HaveCount(2);
        Port(load, "desk.net").Link.Should().Be(1e9);
    }

    [Theory]
    [InlineData("packet_time = 0.125 ms", 14.208)] // 144 + 78 bytes, 8000 times a second
    [InlineData("encoding = L16", 6.768)] // 768 + 78 bytes, 1000 times a second
    [InlineData("packet_time = 0.25 ms", 11.712)] // 288 + 78 bytes, 4000 times a second
    public void What_a_network_sets_changes_what_a_stream_takes(string setting, double megabits) =>
        Compile("join box.net, desk.net  " + setting).Loads.All[0].Streams[0].BitRate.Should().BeApproximately(megabits * 1e6, 1e-3);

    [Fact]
    public void Multicast_is_sent_once_and_unicast_to_each()
    {
        var multicast = Compile("join box.net, desk.net, hub.net", "feed own : box.mic[1] -> hub.net[1] -> hub.send[1]").Loads.All[0];
        var unicast = Compile("unicast  join box.net, desk.net, hub.net", "feed own : box.mic[1] -> hub.net[1] -> hub.send[1]").Loads.All[0];

        Port(multicast, "box.net").Sends.Should().HaveCount(2);
        multicast.Streams[0].Receivers.Should().HaveCount(2);
        Port(unicast, "box.net").Sends.Should().HaveCount(3).And.OnlyContain(s => !s.IsMulticast && s.Receivers.Length == 1);
        // Multicast floods a port that wants one of two streams with both, unicast with the one.
        multicast.FloodAt(Port(multicast, "hub.net")).Should().BeApproximately(2 * 9.84e6, 1e-3);
        unicast.FloodAt(Port(unicast, "hub.net")).Should().BeApproximately(9.84e6, 1e-3);
    }

    [Fact]
    public void The_slower_end_of_a_link_is_its_speed()
    {
        Port(Compile("join box.net, desk.net, hub.net  link 1 Gbit/s").Loads.All[0], "hub.net").Link.Should().Be(100e6);
        Port(Compile("join box.net, desk.net, hub.net  link 50 Mbit/s").Loads.All[0], "hub.net").Link.Should().Be(50e6);
        Port(Compile("join box.net, desk.net, hub.net").Loads.All[0], "box.net").Link.Should().BeNull();
    }

    [Fact]
    public void What_no_one_says_is_unknown_and_not_nought()
    {
        var load = Compile("join box.net, desk.net", format: "joins switched  way both  time shared").Loads.All[0];

        load.Streams.Should().HaveCount(2).And.OnlyContain(s => s.Packet == null && s.BitRate == null);
        load.BitRate.Should().BeNull();
        Port(load, "desk.net").TakeBitRate.Should().BeNull();

        var blocks = Compile("join box.net, desk.net", box: "out 16").Loads.All[0];
        (blocks.HasUnknownStreams, blocks.BitRate).Should().Be((true, null));
        Port(blocks, "box.net").SendBitRate.Should().BeNull();
        Port(blocks, "desk.net").TakeBitRate.Should().BeNull();
    }

    [Fact]
    public void A_second_leg_carries_the_same()
    {
        var loads = Compile(
            "join box.net, desk.net  packet_time = 0.25 ms", "network two : net { twin quay  join box.second, desk.second }",
            twins: "port second : net { in 16  out 16  block = 8  twin net }").Loads.All;

        loads.Should().HaveCount(2);
        loads[1].Streams.Select(s => (s.ToString(), s.BitRate)).Should().Equal(loads[0].Streams.Select(s => (s.ToString().Replace("net", "second"), s.BitRate)));
        loads[1].BitRate.Should().BeApproximately(2 * 11.712e6, 1e-3);
    }

    // Counted from the hops alone, act by act: who sends in which block, and who takes part in it.
    [Fact]
    public void The_festival_day_s_streams_are_those_that_its_hops_need()
    {
        var (graph, rig) = (quay.Value.Graph, quay.Value.Rig);
        foreach (var act in rig.AllActs.Each)
        {
            var load = quay.Value.Loads.All.Should().ContainSingle(l => l.Acts.Meets(act)).Subject;
            var hops = Enumerable.Range(0, graph.EdgeCount).Where(e => graph.HopOf(e).Kind == HopKind.Network && graph.ActsOf(e).Meets(act))
                .Select(e => (From: rig.PointOf(graph.FromOf(e)), To: rig.PointOf(graph.ToOf(e)))).ToList();
            hops.Should().NotBeEmpty();
            foreach (var port in load.Ports)
            {
                hops.Where(h => h.From.Device == port.Device).Select(h => h.From.Channel / 8).Distinct().Should().HaveCount(port.Sends.Length, "{0} sends them", port.Name);
                hops.Where(h => h.To.Device == port.Device).Select(h => (h.From.Device.Name, h.From.Channel / 8)).Distinct().Should().HaveCount(port.Takes.Length, "{0} takes them", port.Name);
            }
            foreach (var hop in hops)
                load.Streams.Should().ContainSingle(s => s.Sender.Device == hop.From.Device && hop.From.Channel >= s.First && hop.From.Channel < s.First + s.Channels && s.Receivers.Contains(hop.To.Connector));
        }
    }

    // By hand: while the bells play, the desk takes four streams of eight channels from the rack (lines 16, 17 to 24, 25 to 31 and 33),
    // one of the four radio links and one from the bridge. In packets of 0.25 ms eight channels are 8 · 12 · 3 = 288 bytes and 78 around
    // them, 4000 times a second, 11.712 Mbit/s; four are 144 + 78, 7.104 Mbit/s. 5 · 11.712 + 7.104 = 65.664 Mbit/s.
    [Fact]
    public void A_slow_link_on_the_festival_day_is_found_with_its_load()
    {
        var finding = Samples.Broken("lantern-quay/lantern-quay.rig", "equipment.rig", "link    1 Gbit/s", "link    100 Mbit/s").Findings.Should().ContainSingle().Subject;

        finding.Code.Should().Be("PL0803");
        finding.Message.Should().Be("desk.expansion.net takes 6 streams during bells, 65.664 Mbit/s on the wire, headers included; 50 % of its 100 Mbit/s link is 50 Mbit/s");
    }

    // By hand: 8 channels · 192 samples · 3 bytes are 4608; AES67 lets a packet have 1440 (6.3, secondary), which is 2 channels (1152).
    [Fact]
    public void Long_packets_on_the_festival_day_are_found_with_their_size() =>
        Samples.Broken("lantern-quay/lantern-quay.rig", "equipment.rig", "packet_time = 0.25 ms", "packet_time = 4 ms").Findings.Where(f => f.Code.StartsWith("PL08", StringComparison.Ordinal) && f.Code != "PL0810").Should().ContainSingle()
            .Which.Message.Should().Be("8 channels of bridge.net at 48 kHz make 4,608 bytes every 4 ms; a packet holds 1,440, which is 2 channels");

    private static PortLoad Port(NetworkLoad load, string name) => load.Ports.Should().ContainSingle(p => p.Name == name).Subject;

    private static Compilation Compile(
        string network, string more = "", string box = "out 16  block = 8", string format = "joins switched  way both  time shared  transport = rtp  packet_time = 1 ms  encoding = L24  payload = 1440", string twins = "")
    {
        var compilation = Compilation.Create(new SourceText("quay.rig", $$"""
            format line { joins point_to_point  way one  time none }
            format net { {{format}} }
            gear Box  { in mic[16] : line  port net : net { {{box}} }  {{twins}}  route mic -> net fixed  clock main { from internal, net } }
            gear Desk { port net : net { in 16 }  {{twins}}  strip ch[16]  route net -> ch free  clock main { from internal, net } }
            gear Hub  { port net : net { in 8  link 100 Mbit/s }  out send[8] : line { listener }  route net -> send fixed  clock main { from internal, net } }
            unit box  : Box
            unit desk : Desk
            unit hub  : Hub
            network quay : net { {{network}} }
            timekeeper desk
            follow box from net
            follow hub from net
            feed mic[1..16] : box.mic[1..16] -> desk.net[1..16] -> desk.ch[1..16]
            {{more}}
            """), _ => FileReading.Failed(FileProblem.NotFound));
        compilation.Findings.Where(f => f.Severity == PatchLang.Findings.Severity.Error && f.Code is not ("PL0505" or "PL0503")).Select(f => f.Message).Should().BeEmpty();
        return compilation;
    }
}
