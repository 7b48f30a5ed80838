namespace PatchLang.Physics;

/// <summary>How long a signal is on its way along a cable.</summary>
public static class CableDelay
{
    /// <summary>Seconds for each metre of copper or fibre: 5 ns, a velocity factor of 0.67 (common practice, no source; handbooks give 0.64 to 0.7).</summary>
    public const double PerMetre = 5e-9;

    /// <summary>What is shorter is left out, in seconds: 10 µs, half a sample at 48 kHz, which 2 km of cable take.</summary>
    public const double Least = 10e-6;

    /// <summary>Length · 5 ns, in seconds; 0 where that is less than <see cref="Least"/>.</summary>
    /// <param name="metres">The length; not negative.</param>
    public static double Of(double metres)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(metres);
        var seconds = metres * PerMetre;
        return seconds < Least ? 0 : seconds;
    }
}
