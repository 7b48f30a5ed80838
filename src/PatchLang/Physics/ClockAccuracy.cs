namespace PatchLang.Physics;

/// <summary>
/// The clock accuracy codes of IEEE 1588: how near a clock is to true time, in steps from 1 ps to 10 s. They say nothing about
/// how far the clock's rate may be off, which is stated in ppm.
/// </summary>
public static class ClockAccuracy
{
    /// <summary>Accuracy unknown: what a clock without a reference announces. Read in an implementation's default configuration.</summary>
    public const byte Unknown = 0xFE;

    /// <summary>The code of the first step, 1 ps. The edition of 2008 begins at 25 ns, 0x20 (from memory).</summary>
    private const byte First = 0x17;

    /// <summary>Worse than the last step, 10 s.</summary>
    private const byte BeyondLast = 0x31;

    // The steps in seconds, from 0x17 on; read in an open implementation.
    private static readonly double[] Steps =
    [
        1e-12, 2.5e-12, 10e-12, 25e-12, 100e-12, 250e-12,
        1e-9, 2.5e-9, 10e-9, 25e-9, 100e-9, 250e-9,
        1e-6, 2.5e-6, 10e-6, 25e-6, 100e-6, 250e-6,
        1e-3, 2.5e-3, 10e-3, 25e-3, 100e-3, 250e-3,
        1, 10,
    ];

    /// <summary>The code of the narrowest step that contains an accuracy.</summary>
    /// <param name="seconds">The most it may be from true time; above zero.</param>
    public static byte CodeOf(double seconds)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(seconds);
        // Values written in ns or ms are not exact in binary seconds.
        const double Rounding = 1 + 1e-9;
        for (var i = 0; i < Steps.Length; i++)
            if (seconds <= Steps[i] * Rounding) return (byte)(First + i);
        return BeyondLast;
    }
}
