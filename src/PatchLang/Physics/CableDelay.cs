namespace PatchLang.Physics;

/// <summary>The propagation delay of cables.</summary>
public static class CableDelay
{
    /// <summary>
    /// The propagation delay of copper or fibre, in seconds per metre: 5 ns, a velocity factor of 0.67 (common practice, no source;
    /// handbooks give 0.64 to 0.7).
    /// </summary>
    public const double PerMetre = 5e-9;

    /// <summary>Delays below this are ignored, in seconds: 10 µs is half a sample at 48 kHz, and takes 2 km of cable.</summary>
    public const double Least = 10e-6;

    /// <summary>Length · 5 ns, in seconds; 0 if that is less than <see cref="Least"/>.</summary>
    /// <param name="metres">The length; not negative.</param>
    public static double Of(double metres)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(metres);
        var seconds = metres * PerMetre;
        return seconds < Least ? 0 : seconds;
    }
}
