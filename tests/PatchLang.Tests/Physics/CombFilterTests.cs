using System.Numerics;
using CsCheck;
using FluentAssertions;
using MathNet.Numerics.IntegralTransforms;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Comb filters against published vectors and against a Fourier transform of two impulses.</summary>
public sealed class CombFilterTests
{
    // 500, 1500 and 2500 Hz, and the first notches: standards.md section 4, computed there.
    [Theory]
    [InlineData(1e-3, 0, 500)]
    [InlineData(1e-3, 1, 1500)]
    [InlineData(1e-3, 2, 2500)]
    [InlineData(1.4e-3, 0, 357.1)]
    [InlineData(2e-3, 0, 250)]
    [InlineData(5e-3, 0, 100)]
    [InlineData(10e-3, 0, 50)]
    public void A_copy_cancels_where_it_is_half_a_period_late(double delay, int number, double hertz) =>
        CombFilter.Notch(delay, number).Should().BeApproximately(hertz, 0.05);

    // M = 6 samples: fs/12, fs/4 and 5fs/12 (a university's course on filters and delays, read).
    [Theory]
    [InlineData(0, 4_000)]
    [InlineData(1, 12_000)]
    [InlineData(2, 20_000)]
    public void Six_samples_at_48_kHz_cancel_at_a_twelfth_a_quarter_and_five_twelfths_of_the_rate(int number, double hertz) =>
        CombFilter.Notch(6 / 48_000.0, number).Should().BeApproximately(hertz, 1e-9);

    // 20log10(1-10^(-d/20)), and the peaks between them: standards.md section 4, computed there.
    [Theory]
    [InlineData(3, -10.7, 4.65)]
    [InlineData(6, -6.0, 3.53)]
    [InlineData(10, -3.3, 2.39)]
    [InlineData(20, -0.9, 0.83)]
    public void A_quieter_copy_takes_less_away(double lower, double notch, double peak)
    {
        CombFilter.Depth(lower).Should().BeApproximately(notch, 0.05);
        CombFilter.Level(CombFilter.Notch(1e-3), 1e-3, lower).Should().BeApproximately(notch, 0.05);
        CombFilter.Level(1_000, 1e-3, lower).Should().BeApproximately(peak, 0.005);
    }

    [Fact]
    public void A_copy_as_loud_takes_all_away() => CombFilter.Depth(0).Should().Be(double.NegativeInfinity);

    [Fact]
    public void An_impulse_and_its_copy_have_the_same_spectrum_by_a_Fourier_transform()
    {
        const int Samples = 4_800; // at 48 kHz: a bin every 10 Hz
        const double Rate = 48_000;
        Gen.Select(Gen.Int[3, 1_440], Gen.Double[0.5, 10]).Sample(
            (late, lower) =>
            {
                var sound = new Complex[Samples];
                sound[0] = 1;
                sound[late] += Math.Pow(10, -lower / 20);
                Fourier.Forward(sound, FourierOptions.Matlab);
                for (var bin = 0; bin < Samples / 2; bin += 7)
                    CombFilter.Level(bin * Rate / Samples, late / Rate, lower).Should().BeApproximately(20 * Math.Log10(sound[bin].Magnitude), 1e-6);
                // The lowest bin of all that are near the first notch is the nearest.
                var notch = CombFilter.Notch(late / Rate) * Samples / Rate;
                if (notch is > 2 and < Samples / 2 - 2)
                    Enumerable.Range((int)notch - 1, 4).MinBy(b => sound[b].Magnitude).Should().BeOneOf((int)Math.Floor(notch), (int)Math.Ceiling(notch));
            },
            iter: 60);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1e-3)]
    public void There_is_no_comb_without_a_delay(double delay) =>
        ((Action)(() => CombFilter.Notch(delay))).Should().Throw<ArgumentOutOfRangeException>();
}
