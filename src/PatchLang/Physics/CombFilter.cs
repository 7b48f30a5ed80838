namespace PatchLang.Physics;

/// <summary>
/// What happens where a sound meets itself a little later: some frequencies cancel, as far apart as the teeth of a comb, and
/// those between them are louder.
/// </summary>
public static class CombFilter
{
    /// <summary>The least delay at which it is worth a word, in seconds: 50 µs put the first notch at 10 kHz (common practice, no source).</summary>
    public const double LeastDelay = 50e-6;

    /// <summary>The most, in seconds: beyond 30 ms a copy is heard as an echo, not as a colour (common practice; fusion up to 40 ms by Wallach, Newman and Rosenzweig 1949, read).</summary>
    public const double MostDelay = 30e-3;

    /// <summary>The most that the copies may be apart, in dB: a copy 10 dB lower takes at most 3.3 dB away (computed, see <see cref="Depth"/>).</summary>
    public const double MostApart = 10;

    /// <summary>A notch in Hz, counted from 0: f = (2·n + 1) / (2 · Δt). (J. O. Smith and others; read at a university's course on filters and delays.)</summary>
    /// <param name="delay">How much later the copy is, in seconds; above zero.</param>
    /// <param name="number">Which notch.</param>
    public static double Notch(double delay, int number = 0)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(delay);
        ArgumentOutOfRangeException.ThrowIfNegative(number);
        return (2 * number + 1) / (2 * delay);
    }

    /// <summary>The level of a sound with its copy, against the sound alone, at one frequency, in dB: 10·log10(1 + 2·g·cos 2πfΔt + g²).</summary>
    /// <param name="frequency">The frequency in Hz.</param>
    /// <param name="delay">How much later the copy is, in seconds.</param>
    /// <param name="lower">How much lower the copy is, in dB.</param>
    public static double Level(double frequency, double delay, double lower)
    {
        var gain = Math.Pow(10, -lower / 20);
        return 10 * Math.Log10(1 + 2 * gain * Math.Cos(2 * Math.PI * frequency * delay) + gain * gain);
    }

    /// <summary>How deep the notches are, in dB: 20·log10(1 − 10^(−d/20)); −∞ where the copy is as loud.</summary>
    /// <param name="lower">How much lower the copy is, in dB; not negative.</param>
    public static double Depth(double lower)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(lower);
        return 20 * Math.Log10(1 - Math.Pow(10, -lower / 20));
    }
}
