namespace PatchLang.Physics;

/// <summary>What levels add up to. They are levels over one reference, in dB; minus infinity is silence.</summary>
public static class LevelSum
{
    /// <summary>Different sounds: their powers add, 10·log₁₀ Σ 10^(L/10). Two equal ones are 3.01 dB more than one.</summary>
    /// <param name="levels">In dB.</param>
    /// <returns>In dB; minus infinity of nothing.</returns>
    public static double Incoherent(params ReadOnlySpan<double> levels)
    {
        var power = 0.0;
        foreach (var level in levels) power += Decibels.ToPower(level);
        return Decibels.OfPower(power);
    }

    /// <summary>
    /// Copies of one sound that arrive in step: their voltages add, 20·log₁₀ Σ 10^(L/20). Two equal ones are 6.02 dB more than
    /// one. Of different sounds it is the level if all their peaks fell together, which no mix exceeds.
    /// </summary>
    /// <param name="levels">In dB.</param>
    /// <returns>In dB; minus infinity of nothing.</returns>
    public static double Coherent(params ReadOnlySpan<double> levels)
    {
        var voltage = 0.0;
        foreach (var level in levels) voltage += Decibels.ToVoltage(level);
        return Decibels.OfVoltage(voltage);
    }

    /// <summary>
    /// Two copies of one sine that are out of step: 10·log₁₀(a² + b² + 2·a·b·cos φ). Two equal ones are 6.02 dB more than one
    /// in step, 3.01 at a quarter of a turn, as loud as one at a third, and silent at half a turn.
    /// </summary>
    /// <param name="level">The one's level in dB.</param>
    /// <param name="other">The other's level in dB.</param>
    /// <param name="degrees">How far the other is behind, in degrees of a turn.</param>
    /// <returns>In dB.</returns>
    public static double OutOfStep(double level, double other, double degrees)
    {
        var (a, b) = (Decibels.ToVoltage(level), Decibels.ToVoltage(other));
        var power = a * a + b * b + 2 * a * b * Math.Cos(degrees * Math.PI / 180);
        // In opposite step equal ones leave nothing, but for rounding.
        return Decibels.OfPower(power < 1e-12 * a * a ? 0 : power);
    }
}
