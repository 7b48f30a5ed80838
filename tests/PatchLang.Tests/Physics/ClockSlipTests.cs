using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>The arithmetic of slips, held by tables and by cases that were published.</summary>
public class ClockSlipTests
{
    // The table of 1 / (rate · difference) for the usual rates and tolerances; each number has five figures.
    [Theory]
    [InlineData(44100, 1, 22.676)]
    [InlineData(44100, 20, 1.1338)]
    [InlineData(44100, 100, 0.22676)]
    [InlineData(48000, 1, 20.833)]
    [InlineData(48000, 2, 10.417)]
    [InlineData(48000, 10, 2.0833)]
    [InlineData(48000, 20, 1.0417)]
    [InlineData(48000, 50, 0.41667)]
    [InlineData(48000, 100, 0.20833)]
    [InlineData(48000, 2000, 0.010417)]
    [InlineData(96000, 1, 10.417)]
    [InlineData(96000, 20, 0.52083)]
    [InlineData(96000, 2000, 0.0052083)]
    public void Slips_come_at_one_over_rate_times_difference(double rate, double difference, double seconds)
    {
        ClockSlip.Interval(rate, difference).Should().BeApproximately(seconds, seconds * 5e-5);
        ClockSlip.Interval(rate, -difference).Should().Be(ClockSlip.Interval(rate, difference));
    }

    // ITU-T G.822 (1988), scope: two clocks of 1·10⁻¹¹ each slip one 125 µs frame in 70 days, which the text rounds from 72.3.
    [Fact]
    public void Two_reference_clocks_of_a_telephone_network_slip_once_in_seventy_days()
    {
        var worst = ClockSlip.Worst(8000, 1e-5, 1e-5);

        worst.Should().BeApproximately(72.34 * 86400, 0.01 * 86400);
        SlipInterval.Describe(worst!.Value).Should().Be("72.3 days");
    }

    // ITU-T G.822 (1988), scope: such a connection of 13 nodes has 12 links and slips once in 5.8 days; one of 4 links once in 17.5.
    // The text divides its rounded 70 days; computed, they are 6.03 and 18.1.
    [Theory]
    [InlineData(12, 5.8)]
    [InlineData(4, 17.5)]
    public void A_chain_of_links_slips_that_many_times_as_often(int links, double days)
    {
        var oneLink = ClockSlip.Worst(8000, 1e-5, 1e-5)!.Value / 86400;

        (70.0 / links).Should().BeApproximately(days, 0.05);
        (oneLink / links).Should().BeInRange(days, days * 72.4 / 70 + 0.05);
    }

    // Common practice, no source: "a tick every few seconds" between two clocks that run free. 2 to 5 ppm at 48 kHz make it.
    [Fact]
    public void A_tick_every_few_seconds_is_2_to_5_ppm_at_48_kHz()
    {
        ClockSlip.Interval(48000, ClockTolerance.OrdinaryDifferenceMost).Should().BeInRange(3, 11);
        ClockSlip.Interval(48000, ClockTolerance.OrdinaryDifferenceLeast).Should().BeInRange(3, 11);
    }

    // The table of slips for two clocks that are each at the edge of their grade or level: AES11-2009 5.2.1, IEC 60958-3.
    [Theory]
    [InlineData(44100, ClockTolerance.ReferenceGrade1, 11.338)]
    [InlineData(48000, ClockTolerance.ReferenceGrade1, 10.417)]
    [InlineData(96000, ClockTolerance.ReferenceGrade1, 5.2083)]
    [InlineData(44100, ClockTolerance.ReferenceGrade2, 1.1338)]
    [InlineData(48000, ClockTolerance.ReferenceGrade2, 1.0417)]
    [InlineData(96000, ClockTolerance.ReferenceGrade2, 0.52083)]
    [InlineData(44100, ClockTolerance.ConsumerLevel1, 0.22676)]
    [InlineData(48000, ClockTolerance.ConsumerLevel1, 0.20833)]
    [InlineData(96000, ClockTolerance.ConsumerLevel1, 0.10417)]
    [InlineData(44100, ClockTolerance.ConsumerLevel2, 0.011338)]
    [InlineData(48000, ClockTolerance.ConsumerLevel2, 0.010417)]
    [InlineData(96000, ClockTolerance.ConsumerLevel2, 0.0052083)]
    public void Two_clocks_at_the_edge_of_their_grade(double rate, double accuracy, double seconds) =>
        ClockSlip.Worst(rate, accuracy, accuracy).Should().BeApproximately(seconds, seconds * 5e-5);

    // A telecommunications textbook counts 255 slips on the first day of a clock that is 0.37 ppm off.
    [Fact]
    public void A_clock_that_is_0_37_ppm_off_slips_255_times_a_day() =>
        Math.Floor(86400 / ClockSlip.Interval(8000, 0.37)).Should().Be(255);

    // AES11-2009, grade 2: ±10 ppm; with both ends at it, 20 ppm, or a slip in 1.04 s at 48 kHz.
    [Fact]
    public void At_worst_both_tolerances_add_up() =>
        ClockSlip.Worst(48000, ClockTolerance.ReferenceGrade2, ClockTolerance.ReferenceGrade2).Should().BeApproximately(1.0417, 5e-5);

    [Theory]
    [InlineData(null, 10d)]
    [InlineData(10d, null)]
    [InlineData(null, null)]
    public void The_worst_is_unknown_where_a_tolerance_is(double? one, double? other) =>
        ClockSlip.Worst(48000, one, other).Should().BeNull();

    [Fact]
    public void Ordinary_clocks_slip_every_four_to_ten_seconds_at_48_kHz()
    {
        var typical = ClockSlip.Typical(48000);

        typical.Shortest.Should().BeApproximately(4.1667, 5e-5);
        typical.Longest.Should().BeApproximately(10.417, 5e-4);
        typical.Describe().Should().Be("a click every 4 to 10 seconds");
    }

    [Fact]
    public void Ordinary_clocks_are_never_further_apart_than_their_tolerances_let_them_be()
    {
        ClockSlip.Typical(48000, 1, 2).Shortest.Should().BeApproximately(6.9444, 5e-5);
        ClockSlip.Typical(48000, 0.5, 0.5).Should().Be(new SlipInterval(ClockSlip.Interval(48000, 1), double.PositiveInfinity));
        ClockSlip.Typical(48000, 0, 0).Describe().Should().Be("no clicks");
    }

    [Fact]
    public void A_buffered_receiver_drops_blocks_and_that_many_times_less_often() =>
        ClockSlip.Interval(48000, 5, samples: 48).Should().BeApproximately(48 * ClockSlip.Interval(48000, 5), 1e-9);

    [Theory]
    // Two clocks of AES11-2009 grade 2.
    [InlineData(48000, 10d, 10d, 1, "a click every 4 to 10 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 1.04 s at worst (10 and 10 ppm, added)")]
    // A console and a consumer player of IEC 60958-3 level I.
    [InlineData(44100, 10d, 50d, 1, "a click every 5 to 11 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 378 ms at worst (10 and 50 ppm, added)")]
    // The far end of what a receiver of IEC 60958-3 level II must take.
    [InlineData(48000, 1000d, 1000d, 1, "a click every 4 to 10 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 10.4 ms at worst (1000 and 1000 ppm, added)")]
    [InlineData(96000, 20d, 20d, 1, "a click every 2 to 5 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 260 ms at worst (20 and 20 ppm, added)")]
    // A receiver that drops a millisecond at once.
    [InlineData(48000, 10d, 10d, 48, "a click every 3 to 8 minutes, 48 samples each (ordinary clocks are 2 to 5 ppm apart), about once in 50 s at worst (10 and 10 ppm, added)")]
    // Two clocks of AES11-2009 grade 1 can be no further apart than ordinary ones are at their best.
    [InlineData(48000, 1d, 1d, 1, "a click every 10 seconds (within 1 and 1 ppm they are no further apart)")]
    [InlineData(48000, 1d, 0.5d, 1, "a click every 14 seconds or more seldom (within 1 and 0.5 ppm they are no further apart)")]
    [InlineData(48000, null, 10d, 1, "a click every 4 to 10 seconds (ordinary clocks are 2 to 5 ppm apart); the worst is unknown until each clock's `accuracy` is declared")]
    public void A_finding_says_what_is_heard(double rate, double? one, double? other, int samples, string said) =>
        ClockSlip.Describe(rate, one, other, samples).Should().Be(said);

    [Theory]
    [InlineData(0.0209, 0.0505, "20 to 48 clicks a second")]
    [InlineData(0.5, 0.5, "2 clicks a second")]
    [InlineData(0.5, 20, "0.05 to 2 clicks a second")]
    [InlineData(0.5, double.PositiveInfinity, "up to 2 clicks a second")]
    [InlineData(1, 1, "a click every second")]
    [InlineData(1.04, 2.6, "a click every 1 to 3 seconds")]
    [InlineData(99, 130, "a click every 99 to 130 seconds")]
    [InlineData(3600, 7200, "a click every 60 to 120 minutes")]
    [InlineData(7200, double.PositiveInfinity, "a click every 2 hours or more seldom")]
    [InlineData(1e6, 1e7, "a click every 12 to 116 days")]
    public void A_range_is_said_in_the_unit_that_suits_it(double shortest, double longest, string said) =>
        new SlipInterval(shortest, longest).Describe().Should().Be(said);

    [Theory]
    [InlineData(0.020854, "20.9 ms")]
    [InlineData(0.9994, "999 ms")]
    [InlineData(0.9996, "1 s")]
    [InlineData(1.0417, "1.04 s")]
    [InlineData(90, "90 s")]
    [InlineData(120, "2 minutes")]
    [InlineData(86400 * 2.5, "2.5 days")]
    public void One_interval_has_three_figures(double seconds, string said) => SlipInterval.Describe(seconds).Should().Be(said);

    // 48 kHz pulled down by 1/1.001 for pictures at 29.97 a second: −999.001 ppm, not −1000.
    [Fact]
    public void A_pulled_down_rate_is_999_ppm_off_and_slips_48_times_a_second()
    {
        ClockSlip.Difference(48000 / 1.001, 48000).Should().BeApproximately(-999.001, 5e-4);
        (1 / ClockSlip.Interval(48000, ClockSlip.Difference(48000 / 1.001, 48000))).Should().BeApproximately(47.952, 5e-4);
    }

    // A rate at the very edge counts; numbers of this size are rounded at the tenth figure of a ppm.
    // AES11-2009, 5.2.2: a follower goes along ±2 ppm with a grade 1 reference, ±50 ppm with a grade 2.
    [Theory]
    [InlineData(48002.3, ClockTolerance.CaptureGrade2, true)]
    [InlineData(47997.6, ClockTolerance.CaptureGrade2, true)]
    [InlineData(48003, ClockTolerance.CaptureGrade2, false)]
    [InlineData(48000.09, ClockTolerance.CaptureGrade1, true)]
    [InlineData(48000.12, ClockTolerance.CaptureGrade1, false)]
    public void A_follower_goes_along_so_far_and_no_further(double rate, double capture, bool goesAlong) =>
        (Math.Abs(ClockSlip.Difference(rate, 48000)) <= capture + 1e-6).Should().Be(goesAlong);

    [Fact]
    public void A_rate_of_zero_is_no_rate() => FluentActions.Invoking(() => ClockSlip.Interval(0, 5)).Should().Throw<ArgumentOutOfRangeException>();
}
