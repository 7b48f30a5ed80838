using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>SMPTE ST 2110-30:2025, clause 7, tables 2 and 3 (read in a secondary source).</summary>
public class ConformanceLevelTests
{
    private const double Ms = 1e-3;
    private const double Eighth = 125e-6;

    // Table 2, senders: one row per level.
    [Theory]
    [InlineData("A", 48000, Ms, 1, 8)]
    [InlineData("AX", 96000, Ms, 1, 4)]
    [InlineData("B", 48000, Eighth, 1, 8)]
    [InlineData("BX", 96000, Eighth, 1, 8)]
    [InlineData("C", 48000, Eighth, 9, 64)]
    [InlineData("CX", 96000, Eighth, 9, 32)]
    public void A_sender_offers_streams_of_its_level(string name, double rate, double packetTime, int least, int most)
    {
        var level = ConformanceLevel.Find(name)!;

        level.Sender(rate, packetTime, least).Should().BeTrue();
        level.Sender(rate, packetTime, most).Should().BeTrue();
        level.Sender(rate, packetTime, least - 1).Should().BeFalse();
        level.Sender(rate, packetTime, most + 1).Should().BeFalse();
        level.Sender(rate, packetTime == Ms ? Eighth : Ms, least).Should().BeFalse();
        level.Sends.Should().Contain(new StreamRange(48000, Ms, 1, 8), "all devices have level A");
    }

    // Table 3, receivers: the most channels at 48 kHz in 1 ms and 125 µs, at 96 kHz in 1 ms and 125 µs; 0 where the level has none.
    [Theory]
    [InlineData("A", 8, 0, 0, 0)]
    [InlineData("AX", 8, 0, 4, 0)]
    [InlineData("B", 8, 8, 0, 0)]
    [InlineData("BX", 8, 8, 4, 8)]
    [InlineData("C", 8, 64, 0, 0)]
    [InlineData("CX", 8, 64, 4, 32)]
    public void A_receiver_takes_every_stream_of_its_level(string name, int at48Ms, int at48Eighth, int at96Ms, int at96Eighth)
    {
        foreach (var (rate, packetTime, most) in new[] { (48000, Ms, at48Ms), (48000, Eighth, at48Eighth), (96000, Ms, at96Ms), (96000, Eighth, at96Eighth) })
            for (var channels = 1; channels <= 65; channels++)
                ConformanceLevel.Find(name)!.Receiver(rate, packetTime, channels).Should().Be(channels <= most, "level {0}, {1} channels at {2} Hz", name, channels, rate);
    }

    // AES67-2018 clause 6.3 (secondary): at most 1440 bytes of sound in a packet; a sample of L24 has 3 bytes. Computed: the widest
    // streams of every level fit.
    [Fact]
    public void Every_stream_of_a_level_fits_one_packet()
    {
        foreach (var range in ConformanceLevel.All.SelectMany(l => l.Takes.Concat(l.Sends)))
            new StreamPacket(range.Most, range.Rate, range.PacketTime).PayloadBytes.Should().BeLessThanOrEqualTo(1440);
    }

    [Fact]
    public void There_are_six_levels() => ConformanceLevel.All.Select(l => l.Name).Should().Equal("A", "AX", "B", "BX", "C", "CX");

    [Theory]
    [InlineData("D")]
    [InlineData("a")]
    [InlineData("")]
    public void Others_are_none(string name) => ConformanceLevel.Find(name).Should().BeNull();
}
