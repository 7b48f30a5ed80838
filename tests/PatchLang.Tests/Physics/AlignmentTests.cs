using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Where analogue meets digital, held by the two published alignments.</summary>
public sealed class AlignmentTests
{
    // EBU R68-2000: the alignment level is −18 dBFS; with 0 dBu for it, 0 dBFS is +18 dBu (read in a secondary source).
    [Fact]
    public void R68_puts_0_dBu_at_minus_18_dBFS() => Alignment.ToDigital(0, Alignment.EbuFullScale).Should().Be(-18);

    // SMPTE RP 155: −20 dBFS is +4 dBu (read in a secondary source).
    [Fact]
    public void RP_155_puts_plus_4_dBu_at_minus_20_dBFS() => Alignment.ToDigital(4, Alignment.SmpteFullScale).Should().Be(-20);

    // The two are 6 dB apart (read in the same source): +4 dBu is −14 dBFS in the one, −20 in the other.
    [Fact]
    public void The_two_alignments_are_6_dB_apart()
    {
        Alignment.Difference(Alignment.SmpteFullScale, Alignment.EbuFullScale).Should().Be(6);
        Alignment.ToDigital(4, Alignment.EbuFullScale).Should().Be(-14);
    }

    // A +24 dBu output drives a +18 dBu input 6 dB past full; a pad of 10 dB leaves 4 dB (computed).
    [Theory]
    [InlineData(24, 18, 0, 6)]
    [InlineData(24, 18, -10, -4)]
    [InlineData(18, 24, 0, -6)]
    [InlineData(18, 18, 0, 0)]
    public void An_output_and_an_input_differ_by_their_full_scales(double output, double input, double gain, double difference) =>
        Alignment.Difference(output, input, gain).Should().Be(difference);

    // By hand: a voice at −46 dBu and 34 dB of gain are −12 dBu at a converter that is full at +18 dBu: −30 dBFS. Behind an
    // output that is full at +24 dBu that is −6 dBu.
    [Fact]
    public void A_microphone_goes_through_both_converters()
    {
        var digital = Alignment.ToDigital(-46, 18, 34);

        digital.Should().Be(-30);
        Alignment.ToAnalogue(digital, 24).Should().Be(-6);
    }
}
