using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Packets and what they take of a link, held by published figures and by arithmetic done by hand.</summary>
public class StreamPacketTests
{
    private const double Ms = 1e-3;
    private const double Eighth = 125e-6;

    // AES67-2018 7.2 (secondary): the samples in a packet at 48, 96 and 44.1 kHz.
    [Theory]
    [InlineData(125e-6, 48000, 6)]
    [InlineData(125e-6, 96000, 12)]
    [InlineData(125e-6, 44100, 6)]
    [InlineData(250e-6, 48000, 12)]
    [InlineData(250e-6, 96000, 24)]
    [InlineData(250e-6, 44100, 12)]
    [InlineData(1e-3 / 3, 48000, 16)]
    [InlineData(333e-6, 48000, 16)]
    [InlineData(1e-3 / 3, 96000, 32)]
    [InlineData(333e-6, 44100, 16)]
    [InlineData(1e-3, 48000, 48)]
    [InlineData(1e-3, 96000, 96)]
    [InlineData(1e-3, 44100, 48)]
    [InlineData(4e-3, 48000, 192)]
    [InlineData(4e-3, 44100, 192)]
    public void A_packet_has_so_many_samples(double packetTime, double rate, int samples)
    {
        PacketTime.Samples(packetTime, rate).Should().Be(samples);
        PacketTime.IsDefined(packetTime, rate).Should().BeTrue();
    }

    // The same table has no packets of 4 ms at 96 kHz; and no other times than those five.
    [Theory]
    [InlineData(4e-3, 96000)]
    [InlineData(4e-3, 88200)]
    [InlineData(2e-3, 48000)]
    [InlineData(1e-3, 32000)]
    public void Some_packet_times_are_none_of_aes67(double packetTime, double rate) => PacketTime.IsDefined(packetTime, rate).Should().BeFalse();

    // AES67 8.1 (formula secondary, values computed): packet time · 48000 / 44100.
    [Theory]
    [InlineData(1e-3, 1.088e-3)]
    [InlineData(125e-6, 0.136e-3)]
    [InlineData(250e-6, 0.272e-3)]
    [InlineData(333e-6, 0.363e-3)]
    [InlineData(4e-3, 4.354e-3)]
    public void At_44_1_kHz_a_packet_lasts_longer_than_it_is_called(double packetTime, double signalled)
    {
        PacketTime.Signalled(packetTime, 44100).Should().BeApproximately(signalled, 0.5e-6);
        PacketTime.Signalled(1e-3, 48000).Should().BeApproximately(1e-3, 1e-12);
    }

    // ⌊1440 / (samples · bytes)⌋, 1440 bytes by AES67 6.3 (secondary); 120 channels of L16 in 125 µs are published as the most
    // (encyclopaedia article on AES67, secondary); the rest computed.
    [Theory]
    [InlineData(125e-6, 120, 80, 60, 40)]
    [InlineData(250e-6, 60, 40, 30, 20)]
    [InlineData(333e-6, 45, 30, 22, 15)]
    [InlineData(1e-3, 15, 10, 7, 5)]
    public void So_many_channels_fit_into_a_packet_of_aes67(double packetTime, int l16At48, int l24At48, int l16At96, int l24At96)
    {
        Most(48000, 2).Should().Be(l16At48);
        Most(44100, 2).Should().Be(l16At48);
        Most(48000, 3).Should().Be(l24At48);
        Most(44100, 3).Should().Be(l24At48);
        Most(96000, 2).Should().Be(l16At96);
        Most(96000, 3).Should().Be(l24At96);

        int Most(double rate, int bytes) => StreamPacket.MostChannels(1440, rate, packetTime, bytes);
    }

    [Fact]
    public void Packets_of_4_ms_have_room_for_3_channels_of_l16_and_2_of_l24()
    {
        StreamPacket.MostChannels(1440, 48000, 4e-3, 2).Should().Be(3);
        StreamPacket.MostChannels(1440, 48000, 4e-3, 3).Should().Be(2);
    }

    // The same rule: ten channels of L24 at 48 kHz in 1 ms fill 1440 bytes exactly, eleven need 1584.
    [Fact]
    public void Ten_channels_fill_a_packet_to_the_last_byte()
    {
        new StreamPacket(10, 48000, Ms).PayloadBytes.Should().Be(1440);
        new StreamPacket(11, 48000, Ms).PayloadBytes.Should().Be(1584);
    }

    // Computed from RFC 3550 (12), RFC 768 (8), RFC 791 (20), IEEE 802.3 (14 + 4, 8 + 12) and 802.1Q (4). Published: 2.304 Mbit/s
    // of sound for stereo at 48 kHz, 24 bit (a broadcast magazine on ST 2110-30, read); about 76 Mbit/s of IP for 64 channels and
    // 1192 bytes of IP for 8 channels (secondary).
    [Theory]
    [InlineData(8, 48000, Ms, 3, Wrapping.Rtp, 1152, 1192, 1210, 1230, 1000, 9.216, 9.536, 9.840)]
    [InlineData(8, 48000, Ms, 3, Wrapping.RtpTagged, 1152, 1192, 1214, 1234, 1000, 9.216, 9.536, 9.872)]
    [InlineData(2, 48000, Ms, 3, Wrapping.Rtp, 288, 328, 346, 366, 1000, 2.304, 2.624, 2.928)]
    [InlineData(2, 48000, Ms, 2, Wrapping.Rtp, 192, 232, 250, 270, 1000, 1.536, 1.856, 2.160)]
    [InlineData(4, 96000, Ms, 3, Wrapping.Rtp, 1152, 1192, 1210, 1230, 1000, 9.216, 9.536, 9.840)]
    [InlineData(8, 48000, Eighth, 3, Wrapping.Rtp, 144, 184, 202, 222, 8000, 9.216, 11.776, 14.208)]
    [InlineData(1, 48000, Eighth, 3, Wrapping.Rtp, 18, 58, 76, 96, 8000, 1.152, 3.712, 6.144)]
    [InlineData(64, 48000, Eighth, 3, Wrapping.Rtp, 1152, 1192, 1210, 1230, 8000, 73.728, 76.288, 78.720)]
    [InlineData(10, 48000, Ms, 3, Wrapping.Rtp, 1440, 1480, 1498, 1518, 1000, 11.52, 11.84, 12.144)]
    [InlineData(8, 48000, Eighth, 4, Wrapping.Avtp, 192, 216, 238, 258, 8000, 12.288, 13.824, 16.512)]
    public void A_stream_takes_every_byte_on_the_wire(
        int channels, double rate, double packetTime, int bytes, Wrapping wrapping, int payload, int carried, int frame, int wire, double packets, double payloadRate, double carriedRate, double wireRate)
    {
        var packet = new StreamPacket(channels, rate, packetTime, bytes, wrapping);

        packet.PayloadBytes.Should().Be(payload);
        packet.CarriedBytes.Should().Be(carried);
        packet.FrameBytes.Should().Be(frame);
        packet.WireBytes.Should().Be(wire);
        packet.PacketsPerSecond.Should().BeApproximately(packets, 1e-9);
        (packet.PayloadBytes * 8 * packet.PacketsPerSecond / 1e6).Should().BeApproximately(payloadRate, 1e-9);
        (packet.CarriedBytes * 8 * packet.PacketsPerSecond / 1e6).Should().BeApproximately(carriedRate, 1e-9);
        (packet.WireBitRate / 1e6).Should().BeApproximately(wireRate, 1e-9);
    }

    // A telephone handbook (read): 58 bytes around a G.711 packet of 10 ms give 110.4 kbit/s without preamble and gap; with 30 ms
    // the frame has 298 bytes, and one of G.729, a byte a millisecond, 88.
    [Fact]
    public void The_headers_are_those_of_the_telephone_handbook()
    {
        var ten = new StreamPacket(1, 8000, 10e-3, 1);

        (ten.FrameBytes * 8 * ten.PacketsPerSecond).Should().BeApproximately(110_400, 1e-6);
        new StreamPacket(1, 8000, 30e-3, 1).FrameBytes.Should().Be(298);
        new StreamPacket(1, 1000, 30e-3, 1).FrameBytes.Should().Be(88);
    }

    // A public issue on AVB (read): 16-bit stereo at 48 kHz has 24 bytes of sound in class A (125 µs), 48 in class B (250 µs).
    [Theory]
    [InlineData(125e-6, 24)]
    [InlineData(250e-6, 48)]
    public void Avb_stereo_is_small(double interval, int payload) =>
        new StreamPacket(2, 48000, interval, 2, Wrapping.Avtp).PayloadBytes.Should().Be(payload);

    // IEEE 802.3 arithmetic: 148 809 of the smallest frames in a second at 100 Mbit/s, 81 274 of the largest at 1 Gbit/s.
    [Fact]
    public void A_frame_has_at_least_64_bytes()
    {
        var least = new StreamPacket(1, 48000, 1.0 / 48000, 1);
        var most = new StreamPacket(1, 48000, Ms, 1) with { Channels = 1460, PacketTime = 1.0 / 48000 };

        (least.FrameBytes, most.FrameBytes).Should().Be((64, 1518));
        Math.Floor(100e6 / (least.WireBytes * 8)).Should().Be(148_809);
        Math.Floor(1e9 / (most.WireBytes * 8)).Should().Be(81_274);
    }

    // Computed: ten of 9.84 Mbit/s are 98.4, seven are 68.88, 76 are 747.84.
    [Fact]
    public void Ten_streams_of_eight_channels_fit_a_hundred_megabit_link()
    {
        var stream = new StreamPacket(8, 48000, Ms).WireBitRate;

        LinkLoad.Fits(100e6, stream).Should().Be(10);
        LinkLoad.Fits(100e6 * LinkLoad.UsualBudget, stream).Should().Be(7);
        LinkLoad.Fits(1e9 * LinkLoad.UsualBudget, stream).Should().Be(76);
        LinkLoad.Fits(10 * stream, stream).Should().Be(10);
        LinkLoad.Fits(stream / 2, stream).Should().Be(0);
    }

    // IEEE 802.3 arithmetic: 1518 bytes at 100 Mbit/s are 121.4 µs, at 1 Gbit/s 12.14 µs; 1210 bytes are 96.8 and 9.68 µs.
    [Theory]
    [InlineData(1518, 100e6, 121.44)]
    [InlineData(1518, 1e9, 12.144)]
    [InlineData(1210, 100e6, 96.8)]
    [InlineData(1210, 1e9, 9.68)]
    public void A_switch_holds_a_frame_as_long_as_it_takes_on_the_link(long bytes, double link, double microseconds) =>
        (LinkLoad.StoreAndForward(bytes, link) * 1e6).Should().BeApproximately(microseconds, 1e-9);

    // A networking textbook, chapter 1 problem 19 (read): packets of 5000 bits at 1 Gbit/s with 10 µs of propagation on each link
    // take 30 µs over one switch that stores and forwards, 60 µs over three. 10 µs are 2 km at 5 ns/m.
    [Theory]
    [InlineData(1, 30)]
    [InlineData(3, 60)]
    public void A_frame_goes_on_the_wire_once_more_than_there_are_switches(int switches, double microseconds) =>
        (LinkLoad.Transit(625, 1e9, switches, (switches + 1) * 2000) * 1e6).Should().BeApproximately(microseconds, 1e-9);
}
