namespace PatchLang.Physics;

/// <summary>Ratios in decibels: 20·log₁₀ of voltages, 10·log₁₀ of powers.</summary>
public static class Decibels
{
    /// <summary>A ratio of voltages in decibels: 2 gives 6.02 dB, and 0 minus infinity.</summary>
    /// <param name="ratio">Zero or above.</param>
    public static double OfVoltage(double ratio)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(ratio);
        return 20 * Math.Log10(ratio);
    }

    /// <summary>A ratio of powers in decibels: 2 gives 3.01 dB, and 0 minus infinity.</summary>
    /// <param name="ratio">Zero or above.</param>
    public static double OfPower(double ratio)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(ratio);
        return 10 * Math.Log10(ratio);
    }

    /// <summary>Decibels as a ratio of voltages: 10^(dB/20).</summary>
    /// <param name="decibels">In dB.</param>
    public static double ToVoltage(double decibels) => Math.Pow(10, decibels / 20);

    /// <summary>Decibels as a ratio of powers: 10^(dB/10).</summary>
    /// <param name="decibels">In dB.</param>
    public static double ToPower(double decibels) => Math.Pow(10, decibels / 10);
}
