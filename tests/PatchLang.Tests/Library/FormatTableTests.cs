using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Library;

/// <summary>
/// The library's formats against the standards' tables. Each test names the source of its figures and how they are known:
/// read in a public source, secondary (read in a source that reports the standard), computed, or from memory.
/// </summary>
public sealed class FormatTableTests
{
    // AES3-2009 part 1, abstract (read): two channels per interface. Rates of AES5-2018: 48 kHz (5.1), 44.1 and 96 kHz (5.2),
    // their multiples (5.3), 32 kHz (secondary). AES-3id-2001: the same on coax.
    [Theory]
    [InlineData("aes3")]
    [InlineData("aes3_coax")]
    public void Aes3_carries_two_channels_at_every_rate_of_aes5(string name)
    {
        foreach (var rate in new double[] { 32000, 44100, 48000, 88200, 96000, 176400, 192000 })
            LibraryDeclarations.Format(name).ChannelsAt(rate).Should().Be(2, "AES3 has two subframes at {0} Hz", rate);
    }

    // IEC 60958-3: the same frame as AES3, two channels (from memory).
    [Theory]
    [InlineData("iec60958", 32000)]
    [InlineData("iec60958", 44100)]
    [InlineData("iec60958", 48000)]
    [InlineData("iec60958_optical", 44100)]
    [InlineData("iec60958_optical", 48000)]
    [InlineData("iec60958_optical", 96000)]
    public void Iec60958_carries_two_channels(string name, double rate) => LibraryDeclarations.Format(name).ChannelsAt(rate).Should().Be(2);

    // AES10-2008 clause 5.1 (a handbook and a public page, read), the abstract for 32 channels at 96 kHz (read);
    // four times the rate by the rule of several channels per sample (read; computed: 64/4, 56/4).
    [Theory]
    [InlineData("madi", 32000, 64)]
    [InlineData("madi", 44100, 64)]
    [InlineData("madi", 48000, 64)]
    [InlineData("madi", 88200, 32)]
    [InlineData("madi", 96000, 32)]
    [InlineData("madi", 176400, 16)]
    [InlineData("madi", 192000, 16)]
    [InlineData("madi_56", 32000, 56)]
    [InlineData("madi_56", 48000, 56)]
    [InlineData("madi_56", 96000, 28)]
    [InlineData("madi_56", 192000, 14)]
    [InlineData("madi_highspeed", 96000, 32)]
    [InlineData("madi_highspeed", 48000, 0)]
    public void Aes10_carries_what_its_modes_say(string name, double rate, int channels) =>
        LibraryDeclarations.Format(name).ChannelsAt(rate).Should().Be(channels);

    // AES10-2008 clause 5.1 (read): the 56-channel mode may vary by 12.5 % either way, the 64-channel mode may not.
    [Fact]
    public void The_aes10_mode_of_56_channels_leaves_room_for_varispeed()
    {
        LibraryDeclarations.Format("madi_56").ChannelsAt(48000 * 1.125).Should().Be(56);
        LibraryDeclarations.Format("madi_56").ChannelsAt(32000 * 0.875).Should().Be(56);
        LibraryDeclarations.Format("madi").ChannelsAt(48000 * 1.125).Should().Be(0);
    }

    // AES10-2008 (read): 100 Mbit/s of data whatever the channel count, 32 bits a channel. Computed: no mode may need more.
    [Theory]
    [InlineData("madi")]
    [InlineData("madi_56")]
    [InlineData("madi_highspeed")]
    public void Every_aes10_mode_fits_the_line(string name)
    {
        foreach (var capacity in LibraryDeclarations.Format(name).Capacities)
            (capacity.Channels * 32 * capacity.High).Should().BeLessThanOrEqualTo(100e6);
    }

    // No standard; 8, 4 and 2 channels in two public pages (read).
    [Theory]
    [InlineData("optical8", 44100, 8)]
    [InlineData("optical8", 48000, 8)]
    [InlineData("optical8", 88200, 4)]
    [InlineData("optical8", 96000, 4)]
    [InlineData("optical8", 176400, 2)]
    [InlineData("optical8", 192000, 2)]
    [InlineData("optical8_plain", 48000, 8)]
    [InlineData("optical8_plain", 96000, 0)]
    public void The_optical_link_halves_as_the_rate_doubles(string name, double rate, int channels) =>
        LibraryDeclarations.Format(name).ChannelsAt(rate).Should().Be(channels);

    // AES50-2011 and AES-R6-2011, the society's announcement (read): 48 channels both ways from 44.1 kHz less 12.5 % to
    // 48 kHz plus 12.5 %, which is 38.5875 to 54 kHz. 24 channels at twice the rate are from memory.
    [Theory]
    [InlineData(44100 * 0.875, 48)]
    [InlineData(44100, 48)]
    [InlineData(48000, 48)]
    [InlineData(48000 * 1.125, 48)]
    [InlineData(96000, 24)]
    [InlineData(32000, 0)]
    [InlineData(192000, 0)]
    public void Aes50_carries_48_channels_each_way(double rate, int channels)
    {
        LibraryDeclarations.Format("aes50").ChannelsAt(rate).Should().Be(channels);
        LibraryDeclarations.Format("aes50").BothWays.Should().BeTrue();
    }

    // AES67-2018 clauses 6.3, 7.1 and 7.2 (secondary): L24 at 48 kHz, packets of 1 ms, at most 1440 bytes of sound. ST 2110-30:2025
    // clause 7 (secondary): level A, which every device has, is the same. Clause 7.3 of AES67 (secondary): streams of up to 8 channels.
    [Theory]
    [InlineData("aes67")]
    [InlineData("st2110_30")]
    public void Streams_over_rtp_are_those_of_aes67(string name)
    {
        var settings = LibraryDeclarations.Format(name).Settings;
        (settings["transport"]!.Text, settings["encoding"]!.Text).Should().Be(("rtp", "L24"));
        settings["packet_time"]!.Value.Should().Be(new Quantity(1e-3, Measure.Time));
        settings["payload"]!.Value.Should().Be(new Quantity(1440, Measure.None));
        settings["block"]!.Value.Should().Be(new Quantity(8, Measure.None));
    }

    // IEEE 802.1Q class A (read): 8000 packets a second. IEEE 1722-2016 as Milan uses it (read): 32-bit sound.
    [Fact]
    public void Avb_sends_8000_packets_a_second_of_32_bit_sound()
    {
        var settings = LibraryDeclarations.Format("avb").Settings;
        (settings["transport"]!.Text, settings["encoding"]!.Text).Should().Be(("avtp", "L32"));
        (1 / settings["packet_time"]!.Value!.Value.Value).Should().BeApproximately(8000, 1e-6);
    }

    // SMPTE ST 299-1, from memory.
    [Fact]
    public void Embedded_video_audio_has_sixteen_channels() => LibraryDeclarations.Format("sdi").ChannelsAt(48000).Should().Be(16);

    // Reach, in metres: AES10 coax 50 (from memory) and 100 (secondary), fibre 2000 (AES10-2003 clause 7.2.1, read); plastic fibre
    // 5 (common practice) and 10 (secondary); AES50 100 (read); AES3 on a pair 100 (common practice), on category 5 400 and twice
    // that (AES3-2003 annex D, read); AES-3id 1000 (from memory); network cable 100 (from memory).
    [Theory]
    [InlineData("madi", "coax", 50, 100.0)]
    [InlineData("madi", "fibre", 2000, null)]
    [InlineData("optical8", "plastic_fibre", 5, 10.0)]
    [InlineData("iec60958_optical", "plastic_fibre", 5, 10.0)]
    [InlineData("aes50", "utp", 100, null)]
    [InlineData("aes67", "utp", 100, null)]
    [InlineData("aes3", "twisted_pair", 100, 300.0)]
    [InlineData("aes3", "utp", 400, 800.0)]
    [InlineData("aes3_coax", "coax", 1000, null)]
    public void Media_reach_as_far_as_their_source_says(string name, string medium, double advised, double? most) =>
        LibraryDeclarations.Format(name).Media.Should().Contain(new Medium(medium, advised, most));

    [Theory]
    [InlineData("aes67", Joining.Switched, true, TimeTransfer.Shared)]
    [InlineData("avb", Joining.Switched, true, TimeTransfer.Shared)]
    [InlineData("madi", Joining.PointToPoint, false, TimeTransfer.Embedded)]
    [InlineData("aes3", Joining.PointToPoint, false, TimeTransfer.Embedded)]
    [InlineData("wordclock", Joining.Shared, false, TimeTransfer.Embedded)]
    [InlineData("aes11", Joining.PointToPoint, false, TimeTransfer.Embedded)]
    [InlineData("usb", Joining.PointToPoint, true, TimeTransfer.Embedded)]
    [InlineData("analog", Joining.PointToPoint, false, TimeTransfer.None)]
    [InlineData("radio_mic", Joining.PointToPoint, false, TimeTransfer.None)]
    public void A_format_says_how_it_joins_and_whether_it_brings_time(string name, Joining joins, bool bothWays, TimeTransfer time)
    {
        var format = LibraryDeclarations.Format(name);
        (format.Joins, format.BothWays, format.Time).Should().Be((joins, bothWays, time));
    }

    [Fact]
    public void No_rate_of_a_format_has_two_capacities()
    {
        foreach (var format in LibraryDeclarations.Formats)
        {
            var inOrder = format.Capacities.OrderBy(c => c.Low).ToList();
            foreach (var (lower, higher) in inOrder.Zip(inOrder.Skip(1)))
                lower.High.Should().BeLessThan(higher.Low, "{0} has one count at a rate", format.Name);
        }
    }
}
