using PatchLang.Physics;

namespace PatchLang.Tests.Physics;

/// <summary>Addition of levels, which the levels of a rig are checked against: all in dB relative to the same reference; minus infinity is silence.</summary>
internal static class LevelSum
{
    /// <summary>Different sounds: their powers add, 10·log₁₀ Σ 10^(L/10). Two equal ones give 3.01 dB more than one.</summary>
    /// <param name="levels">In dB.</param>
    /// <returns>In dB; minus infinity for no levels.</returns>
    public static double Incoherent(params ReadOnlySpan<double> levels)
    {
        var power = 0.0;
        foreach (var level in levels) power += Decibels.ToPower(level);
        return Decibels.OfPower(power);
    }

    /// <summary>
    /// Copies of one sound in phase: their voltages add, 20·log₁₀ Σ 10^(L/20). Two equal ones give 6.02 dB more than
    /// one. For different sounds this is the upper limit, reached if all their peaks coincide.
    /// </summary>
    /// <param name="levels">In dB.</param>
    /// <returns>In dB; minus infinity for no levels.</returns>
    public static double Coherent(params ReadOnlySpan<double> levels)
    {
        var voltage = 0.0;
        foreach (var level in levels) voltage += Decibels.ToVoltage(level);
        return Decibels.OfVoltage(voltage);
    }

    /// <summary>
    /// Two copies of a sine with a phase difference: 10·log₁₀(a² + b² + 2·a·b·cos φ). Two equal ones give 6.02 dB more than one
    /// in phase, 3.01 dB more at 90°, the same as one at 120°, and silence at 180°.
    /// </summary>
    /// <param name="level">The level of one, in dB.</param>
    /// <param name="other">The level of the other, in dB.</param>
    /// <param name="degrees">The phase difference, in degrees.</param>
    /// <returns>In dB.</returns>
    public static double OutOfStep(double level, double other, double degrees)
    {
        var (a, b) = (Decibels.ToVoltage(level), Decibels.ToVoltage(other));
        var power = a * a + b * b + 2 * a * b * Math.Cos(degrees * Math.PI / 180);
        // Equal ones in opposite phase cancel exactly, but for rounding.
        return Decibels.OfPower(power < 1e-12 * a * a ? 0 : power);
    }
}
