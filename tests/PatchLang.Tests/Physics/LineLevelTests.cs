using CsCheck;
using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Volts, dBu, dBV and dBFS, held by published figures.</summary>
public sealed class LineLevelTests
{
    // ITU-R BS.645-2, annex 3: 0 dBu is 0.7746 V (read in two secondary sources); +4 dBu is 1.228 V (read).
    [Theory]
    [InlineData(0, 0.7746, 0.00005)]
    [InlineData(4, 1.228, 0.0005)]
    // EBU R68: 0 dBFS is +18 dBu; SMPTE RP 155: +24 dBu. A table of converter alignments gives 6.16 V (with 0.775 V) and 12.28 V (read).
    [InlineData(18, 6.16, 0.01)]
    [InlineData(24, 12.28, 0.005)]
    // A maker's manual, name withheld, for +22 dBu (read).
    [InlineData(22, 9.752, 0.0005)]
    public void A_level_in_dBu_is_a_voltage(double dbu, double volts, double tolerance)
    {
        DbuToVolts(dbu).Should().BeApproximately(volts, tolerance);
        VoltsToDbu(DbuToVolts(dbu)).Should().BeApproximately(dbu, 1e-9);
    }

    // A level calculator's published examples: −10 dBV is −7.78 dBu, 0 dBV is +2.2 dBu, 6 V are 15.56 dBV and 17.78 dBu (read).
    [Theory]
    [InlineData(-10, -7.78, 0.005)]
    [InlineData(0, 2.2, 0.05)]
    [InlineData(15.56, 17.78, 0.005)]
    public void A_level_in_dBV_is_one_in_dBu(double dbv, double dbu, double tolerance) =>
        LineLevel.DbvToDbu(dbv).Should().BeApproximately(dbu, tolerance);

    [Fact]
    public void Six_volts_are_17_78_dBu() => VoltsToDbu(6).Should().BeApproximately(17.78, 0.005);

    // Published as 11.78 dB (read in two secondary sources).
    [Fact]
    public void The_consumer_s_line_is_11_78_dB_below_the_professional_one() =>
        LineLevel.ConsumerBelowProfessional.Should().BeApproximately(11.78, 0.005);

    // +4 dBu is 1.736 V at its peak (read): a sine's peak is √2 times its rms value.
    [Fact]
    public void A_sine_at_plus_4_dBu_peaks_at_1_736_V() =>
        (DbuToVolts(4) * Math.Sqrt(2)).Should().BeApproximately(1.736, 0.0005);

    [Fact]
    public void There_is_no_level_below_silence()
    {
        VoltsToDbu(0).Should().Be(double.NegativeInfinity);
        FluentActions.Invoking(() => VoltsToDbu(-1)).Should().Throw<ArgumentOutOfRangeException>();
        FluentActions.Invoking(() => Decibels.OfPower(-1)).Should().Throw<ArgumentOutOfRangeException>();
    }

    [Fact]
    public void Any_voltage_comes_back_from_decibels() =>
        Gen.Double[1e-6, 1e3].Sample(v => Math.Abs(DbuToVolts(VoltsToDbu(v)) / v - 1) < 1e-12);

    private static double VoltsToDbu(double volts) => Decibels.OfVoltage(volts / LineLevel.VoltsAtZeroDbu);

    private static double DbuToVolts(double dbu) => LineLevel.VoltsAtZeroDbu * Decibels.ToVoltage(dbu);
}
