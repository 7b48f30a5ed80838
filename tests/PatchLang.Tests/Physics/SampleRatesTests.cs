using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Rates, and how they are pulled for pictures, held by published values.</summary>
public class SampleRatesTests
{
    private static readonly Pull Down = SampleRates.Pulls.Single(p => (p.Numerator, p.Denominator) == (1000, 1001));
    private static readonly Pull Up = SampleRates.Pulls.Single(p => (p.Numerator, p.Denominator) == (1001, 1000));

    // "44.056" and 1601.6 samples a picture: C. Poynton, Digital Video and HDTV, p. 380 (read). The other values are computed.
    [Theory]
    [InlineData(48000, 47952.047952)]
    [InlineData(44100, 44055.944056)]
    [InlineData(96000, 95904.095904)]
    public void Pulled_down_for_pictures_at_29_97_a_second(int rate, double pulled) => Down.Of(rate).Should().BeApproximately(pulled, 5e-7);

    [Theory]
    [InlineData(48000, 48048)]
    [InlineData(44100, 44144.1)]
    public void Pulled_up(int rate, double pulled) => Up.Of(rate).Should().BeApproximately(pulled, 1e-9);

    [Theory]
    [InlineData(24, 25, 46080)]
    [InlineData(25, 24, 50000)]
    public void Between_film_and_pictures_at_25_a_second(int numerator, int denominator, double pulled) => new Pull(numerator, denominator, "").Of(48000).Should().Be(pulled);

    [Fact]
    public void A_pull_of_1_over_1_001_is_not_a_thousand_ppm()
    {
        Down.Ppm.Should().BeApproximately(-999.001, 5e-4);
        Up.Ppm.Should().BeApproximately(1000, 1e-9);
    }

    // Pictures come at 30000/1001 a second: five of them are 8008 samples of 48 kHz, exactly; one at 24000/1001 is 2002.
    [Fact]
    public void Pictures_and_samples_come_out_even()
    {
        (48000L * 1001 * 5 % 30000).Should().Be(0);
        (48000.0 * 1001 / 30000).Should().BeApproximately(1601.6, 1e-9);
        (48000L * 1001 / 24000).Should().Be(2002);
        (44100.0 * 1001 / 30000).Should().BeApproximately(1471.47, 1e-9);
        // Pulled down, it is a whole number of samples to a picture at 30 a second again.
        (Down.Of(48000) * 1001 / 30000).Should().BeApproximately(1600, 1e-9);
    }

    [Theory]
    [InlineData(48000, 48000, 1, 1)]
    [InlineData(44100, 44100, 1, 1)]
    [InlineData(47952, 48000, 1000, 1001)]
    [InlineData(47952.048, 48000, 1000, 1001)]
    [InlineData(44056, 44100, 1000, 1001)]
    [InlineData(48048, 48000, 1001, 1000)]
    [InlineData(46080, 48000, 24, 25)]
    [InlineData(50000, 48000, 25, 24)]
    public void A_written_rate_is_known_with_its_pull(double written, int nominal, int numerator, int denominator)
    {
        var found = SampleRates.Find(written);

        found.Should().NotBeNull();
        (found!.Value.Nominal, found.Value.Pull.Numerator, found.Value.Pull.Denominator).Should().Be((nominal, numerator, denominator));
    }

    [Theory]
    [InlineData(48100, 48000)]
    [InlineData(4800, 8000)]
    [InlineData(44000, 44100)]
    [InlineData(0, 48000)]
    public void What_no_standard_knows_has_a_nearest(double written, int nearest)
    {
        SampleRates.Find(written).Should().BeNull();
        if (written > 0) SampleRates.Nearest(written).Should().Be(nearest);
    }

    [Fact]
    public void A_pulled_clock_against_a_plain_one_slips_48_times_a_second() =>
        (1 / ClockSlip.Interval(48000, Down.Ppm)).Should().BeApproximately(47.952, 5e-4);
}
