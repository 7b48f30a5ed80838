using CsCheck;
using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Sums of levels, held by handbook tables and by sums of sampled sounds.</summary>
public sealed class LevelSumTests
{
    private const int Second = 48_000;

    // The handbook table of decibel addition: how much two sounds so many dB apart are above the louder one. Its figures have
    // one decimal; read in a noise-meter maker's training sheet, name withheld.
    [Theory]
    [InlineData(0, 3.0)]
    [InlineData(1, 2.5)]
    [InlineData(2, 2.1)]
    [InlineData(3, 1.8)]
    [InlineData(4, 1.5)]
    [InlineData(5, 1.2)]
    [InlineData(6, 1.0)]
    [InlineData(7, 0.8)]
    [InlineData(8, 0.6)]
    [InlineData(9, 0.5)]
    [InlineData(10, 0.4)]
    [InlineData(11, 0.3)]
    [InlineData(12, 0.3)]
    [InlineData(13, 0.2)]
    [InlineData(14, 0.2)]
    [InlineData(15, 0.1)]
    public void Two_sounds_are_above_the_louder_one_by_the_handbook_s_table(double apart, double more) =>
        LevelSum.Incoherent(90, 90 - apart).Should().BeApproximately(90 + more, 0.05);

    // Hong Kong's environmental protection department, noise memorandum, table 4 (read): a coarser table, to half a decibel.
    [Theory]
    [InlineData(0, 0.5, 3.0)]
    [InlineData(1, 1.5, 2.5)]
    [InlineData(2, 3, 2.0)]
    [InlineData(3.5, 4.5, 1.5)]
    [InlineData(5, 7, 1.0)]
    [InlineData(7.5, 12, 0.5)]
    public void Two_sounds_are_above_the_louder_one_by_an_official_table(double from, double to, double more)
    {
        LevelSum.Incoherent(0, -from).Should().BeApproximately(more, 0.26);
        LevelSum.Incoherent(0, -to).Should().BeApproximately(more, 0.26);
    }

    // Worked examples that were published with the tables (read).
    [Theory]
    [InlineData(84, 79, 85.2, 0.05)]
    [InlineData(90, 90, 93.01, 0.005)]
    [InlineData(90, 96, 96.97, 0.005)]
    [InlineData(75, 80, 81.19, 0.005)]
    [InlineData(62.0, 73.0, 73.3, 0.05)]
    public void Worked_examples_come_out(double one, double other, double sum, double tolerance) =>
        LevelSum.Incoherent(one, other).Should().BeApproximately(sum, tolerance);

    // N equal sounds: 20·log₁₀ N in step, 10·log₁₀ N apart (computed; +6 dB for two in step is published, read).
    [Theory]
    [InlineData(2, 6.02, 3.01)]
    [InlineData(3, 9.54, 4.77)]
    [InlineData(4, 12.04, 6.02)]
    [InlineData(8, 18.06, 9.03)]
    public void Equal_sounds_add_up(int count, double inStep, double apart)
    {
        var levels = Enumerable.Repeat(-20.0, count).ToArray();

        LevelSum.Coherent(levels).Should().BeApproximately(-20 + inStep, 0.005);
        LevelSum.Incoherent(levels).Should().BeApproximately(-20 + apart, 0.005);
    }

    // Two equal sines by how far they are out of step (computed; a handbook has the same table, not read).
    [Theory]
    [InlineData(0, 6.02)]
    [InlineData(60, 4.77)]
    [InlineData(90, 3.01)]
    [InlineData(120, 0)]
    [InlineData(150, -5.72)]
    public void Two_equal_sines_add_by_their_phase(double degrees, double more) =>
        LevelSum.OutOfStep(-10, -10, degrees).Should().BeApproximately(-10 + more, 0.005);

    [Fact]
    public void Two_equal_sines_in_opposite_step_are_silent() =>
        LevelSum.OutOfStep(-10, -10, 180).Should().Be(double.NegativeInfinity);

    // Against the sound itself: sampled sines, summed sample by sample, and their rms value measured.
    [Theory]
    [InlineData(-12, -12, 0)]
    [InlineData(-12, -18, 0)]
    [InlineData(-12, -15, 90)]
    [InlineData(-6, -9, 135)]
    public void Sampled_copies_of_one_sine_add_as_computed(double level, double other, double degrees)
    {
        var sum = new double[Second];
        for (var i = 0; i < sum.Length; i++)
            sum[i] = Sine(level, i, 1000, 0) + Sine(other, i, 1000, degrees);

        Measured(sum).Should().BeApproximately(LevelSum.OutOfStep(level, other, degrees), 1e-6);
        if (degrees is 0) Measured(sum).Should().BeApproximately(LevelSum.Coherent(level, other), 1e-6);
    }

    [Fact]
    public void Sampled_sines_of_different_frequencies_add_as_powers()
    {
        var sum = new double[Second];
        for (var i = 0; i < sum.Length; i++)
            sum[i] = Sine(-12, i, 440, 0) + Sine(-15, i, 1000, 30) + Sine(-20, i, 1703, 70);

        Measured(sum).Should().BeApproximately(LevelSum.Incoherent(-12, -15, -20), 1e-6);
    }

    // Noise of two seeds is different sound, of one seed the same: ten seconds are within a few hundredths of a decibel.
    [Fact]
    public void Sampled_noises_add_as_powers_and_copies_of_one_noise_as_voltages()
    {
        var (one, other) = (Noise(1), Noise(2));
        var level = Measured(one);

        Measured(Sum(one, other)).Should().BeApproximately(LevelSum.Incoherent(level, Measured(other)), 0.05);
        Measured(Sum(one, one)).Should().BeApproximately(LevelSum.Coherent(level, level), 1e-9);
    }

    // No sum of sounds peaks above the sum of their voltages: sines whose peaks meet reach it.
    [Fact]
    public void All_peaks_together_is_the_bound()
    {
        var sum = new double[Second];
        for (var i = 0; i < sum.Length; i++) sum[i] = Sine(-12, i, 500, 90) + Sine(-15, i, 1000, 90) + Sine(-20, i, 1500, 90);
        var peak = Decibels.OfVoltage(sum.Max(Math.Abs) / Math.Sqrt(2));

        peak.Should().BeApproximately(LevelSum.Coherent(-12, -15, -20), 1e-9);
    }

    [Fact]
    public void A_sum_lies_between_its_loudest_and_all_peaks_together() =>
        Gen.Double[-90, 20].Array[1, 20].Sample(levels =>
        {
            var sum = LevelSum.Incoherent(levels);
            return sum >= levels.Max() - 1e-9 && sum <= LevelSum.Coherent(levels) + 1e-9;
        });

    [Fact]
    public void Of_nothing_the_sum_is_silence()
    {
        LevelSum.Incoherent([]).Should().Be(double.NegativeInfinity);
        LevelSum.Coherent(ReadOnlySpan<double>.Empty).Should().Be(double.NegativeInfinity);
        LevelSum.Incoherent(-20, double.NegativeInfinity).Should().BeApproximately(-20, 1e-12);
    }

    private static double Sine(double level, int sample, double hertz, double degrees) =>
        Math.Sqrt(2) * Math.Pow(10, level / 20) * Math.Sin(2 * Math.PI * hertz * sample / Second + degrees * Math.PI / 180);

    private static double[] Noise(int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, 10 * Second).Select(_ => 0.2 * (random.NextDouble() - 0.5))];
    }

    private static double[] Sum(double[] one, double[] other) => [.. one.Zip(other, (a, b) => a + b)];

    private static double Measured(double[] samples) => 10 * Math.Log10(samples.Average(s => s * s));
}
