namespace PatchLang.Physics;

/// <summary>Levels of analogue lines, in volts and in decibels relative to the trade's two references. All are rms.</summary>
public static class LineLevel
{
    /// <summary>
    /// 0 dBu in volts: √0.6, the voltage of 1 mW in 600 Ω. ITU-R BS.645-2, annex 3 (its value read in secondary sources).
    /// </summary>
    public static readonly double VoltsAtZeroDbu = Math.Sqrt(0.6);

    /// <summary>Nominal professional line level in dBu. Common practice, no source.</summary>
    public const double Professional = 4;

    /// <summary>Nominal consumer line level in dBV. Common practice, no source.</summary>
    public const double ConsumerDbv = -10;

    /// <summary>0 dBV expressed in dBu: 2.22.</summary>
    public static readonly double DbuAtZeroDbv = -Decibels.OfVoltage(VoltsAtZeroDbu);

    /// <summary>How far consumer line level is below professional line level: 11.78 dB.</summary>
    public static readonly double ConsumerBelowProfessional = Professional - DbvToDbu(ConsumerDbv);

    /// <summary>A level in dBV (relative to 1 V) converted to dBu (relative to 0.7746 V): plus 2.22.</summary>
    /// <param name="dbv">In dBV.</param>
    public static double DbvToDbu(double dbv) => dbv + DbuAtZeroDbv;
}
