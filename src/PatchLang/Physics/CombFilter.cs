namespace PatchLang.Physics;

/// <summary>
/// Comb filtering: when a sound is mixed with a slightly delayed copy of itself, frequencies at regular intervals cancel, and
/// those in between get louder.
/// </summary>
public static class CombFilter
{
    /// <summary>The shortest delay worth reporting, in seconds: 50 µs put the first notch at 10 kHz (common practice, no source).</summary>
    public const double LeastDelay = 50e-6;

    /// <summary>
    /// The longest delay worth reporting, in seconds: beyond 30 ms a copy is heard as an echo, not as coloration (common practice; fusion up
    /// to 40 ms by Wallach, Newman and Rosenzweig 1949, read).
    /// </summary>
    public const double MostDelay = 30e-3;

    /// <summary>
    /// The most difference in level worth reporting, in dB: a copy 10 dB lower
    /// makes notches of 3.3 dB at most (computed, see <see cref="Depth"/>).
    /// </summary>
    public const double MostApart = 10;

    /// <summary>
    /// The frequency of a notch in Hz, with notches counted from 0: f = (2·n + 1) / (2 · Δt). (J. O. Smith and others; read at a
    /// university's course on filters and delays.)
    /// </summary>
    /// <param name="delay">The delay of the copy, in seconds; above zero.</param>
    /// <param name="number">The number of the notch.</param>
    public static double Notch(double delay, int number = 0)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(delay);
        ArgumentOutOfRangeException.ThrowIfNegative(number);
        return (2 * number + 1) / (2 * delay);
    }

    /// <summary>The level of a sound plus its copy, relative to the sound alone, at one frequency, in dB: 10·log10(1 + 2·g·cos 2πfΔt + g²).</summary>
    /// <param name="frequency">The frequency in Hz.</param>
    /// <param name="delay">The delay of the copy, in seconds.</param>
    /// <param name="lower">How much lower the copy is, in dB.</param>
    public static double Level(double frequency, double delay, double lower)
    {
        var gain = Math.Pow(10, -lower / 20);
        return 10 * Math.Log10(1 + 2 * gain * Math.Cos(2 * Math.PI * frequency * delay) + gain * gain);
    }

    /// <summary>The depth of the notches, in dB: 20·log10(1 − 10^(−d/20)); −∞ if the copy is equally loud.</summary>
    /// <param name="lower">How much lower the copy is, in dB; not negative.</param>
    public static double Depth(double lower)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(lower);
        return 20 * Math.Log10(1 - Math.Pow(10, -lower / 20));
    }
}
