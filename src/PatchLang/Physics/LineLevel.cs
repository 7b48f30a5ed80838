namespace PatchLang.Physics;

/// <summary>Levels of analogue lines, as volts and as decibels over the trade's two references. All of them rms.</summary>
public static class LineLevel
{
    /// <summary>
    /// 0 dBu in volts: √0.6, the voltage of 1 mW in 600 Ω. ITU-R BS.645-2, annex 3 (its value read in secondary sources).
    /// </summary>
    public static readonly double VoltsAtZeroDbu = Math.Sqrt(0.6);

    /// <summary>The professional line's nominal level in dBu. Common practice, no source.</summary>
    public const double Professional = 4;

    /// <summary>The consumer line's nominal level in dBV. Common practice, no source.</summary>
    public const double ConsumerDbv = -10;

    /// <summary>How far 0 dBV stands above 0 dBu: 2.22 dB.</summary>
    public static readonly double DbuAtZeroDbv = -Decibels.OfVoltage(VoltsAtZeroDbu);

    /// <summary>How far the consumer's line stands below the professional one: 11.78 dB.</summary>
    public static readonly double ConsumerBelowProfessional = Professional - DbvToDbu(ConsumerDbv);

    /// <summary>A voltage in dBu: 20·log₁₀(V / √0.6).</summary>
    /// <param name="volts">In volts rms; zero or above.</param>
    public static double VoltsToDbu(double volts) => Decibels.OfVoltage(volts / VoltsAtZeroDbu);

    /// <summary>A level as a voltage, in volts rms.</summary>
    /// <param name="dbu">In dBu.</param>
    public static double DbuToVolts(double dbu) => VoltsAtZeroDbu * Decibels.ToVoltage(dbu);

    /// <summary>A level over 1 V as one over 0.7746 V: 2.22 more.</summary>
    /// <param name="dbv">In dBV.</param>
    public static double DbvToDbu(double dbv) => dbv + DbuAtZeroDbv;

    /// <summary>A level over 0.7746 V as one over 1 V: 2.22 less.</summary>
    /// <param name="dbu">In dBu.</param>
    public static double DbuToDbv(double dbu) => dbu - DbuAtZeroDbv;
}
