using PatchLang.Text;

namespace PatchLang.Physics;

/// <summary>
/// What happens where sound passes between two clocks that run free of each other: one makes samples a little faster than
/// the other takes them, and now and then one is lost or played twice, which is heard as a click.
/// </summary>
public static class ClockSlip
{
    /// <summary>The time from one slip to the next, in seconds: 1 / (rate · difference · 10⁻⁶), for a block of samples as many times longer.</summary>
    /// <param name="rate">The sample rate in Hz; above zero.</param>
    /// <param name="difference">How far the clocks are apart, in ppm; the sign does not matter. At 0 the interval is infinite.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at once: 1 without a buffer.</param>
    public static double Interval(double rate, double difference, int samples = 1)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rate);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(samples);
        return samples / (rate * Math.Abs(difference) * 1e-6);
    }

    /// <summary>The interval at the most that two clocks can be apart: each is off by all its tolerance, in opposite directions.</summary>
    /// <param name="rate">The sample rate in Hz.</param>
    /// <param name="oneAccuracy">The one clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="otherAccuracy">The other clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at once.</param>
    /// <returns>Seconds; null where a tolerance is unknown.</returns>
    public static double? Worst(double rate, double? oneAccuracy, double? otherAccuracy, int samples = 1) =>
        oneAccuracy + otherAccuracy is { } most ? Interval(rate, most, samples) : null;

    /// <summary>
    /// The interval between two ordinary clocks, which are 2 to 5 ppm apart (common practice, no source), and never further than their tolerances let them be.
    /// </summary>
    /// <param name="rate">The sample rate in Hz.</param>
    /// <param name="oneAccuracy">The one clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="otherAccuracy">The other clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at once.</param>
    public static SlipInterval Typical(double rate, double? oneAccuracy = null, double? otherAccuracy = null, int samples = 1)
    {
        var most = Math.Min(ClockTolerance.OrdinaryDifferenceMost, oneAccuracy + otherAccuracy ?? double.PositiveInfinity);
        var least = most < ClockTolerance.OrdinaryDifferenceLeast ? 0 : ClockTolerance.OrdinaryDifferenceLeast;
        return new SlipInterval(Interval(rate, most, samples), Interval(rate, least, samples));
    }

    /// <summary>
    /// What is heard between two clocks that run free, in one sentence without a full stop, for a finding: how often as a rule and at
    /// worst, and which assumption makes each.
    /// </summary>
    /// <param name="rate">The sample rate in Hz.</param>
    /// <param name="oneAccuracy">The one clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="otherAccuracy">The other clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at once.</param>
    public static string Describe(double rate, double? oneAccuracy, double? otherAccuracy, int samples = 1)
    {
        var typical = Typical(rate, oneAccuracy, otherAccuracy, samples);
        var heard = typical.Describe() + (samples > 1 ? $", {samples} samples each" : "");
        var ordinary = $"ordinary clocks are {Quantity.Number(ClockTolerance.OrdinaryDifferenceLeast)} to {Quantity.Number(ClockTolerance.OrdinaryDifferenceMost)} ppm apart";
        if (Worst(rate, oneAccuracy, otherAccuracy, samples) is not { } worst)
            return $"{heard} ({ordinary}); the worst is unknown until each clock's `accuracy` is declared";
        var tolerances = $"{Quantity.Number(oneAccuracy!.Value)} and {Quantity.Number(otherAccuracy!.Value)} ppm";
        // Where the tolerances are that narrow, the usual range already ends at the worst.
        return worst < typical.Shortest
            ? $"{heard} ({ordinary}), about once in {SlipInterval.Describe(worst)} at worst ({tolerances}, added)"
            : $"{heard} (within {tolerances} they are no further apart)";
    }

    /// <summary>How far a rate is from another, in ppm of the other: 48 003 Hz is 62.5 ppm above 48 kHz.</summary>
    /// <param name="rate">The rate in Hz.</param>
    /// <param name="nominal">What it should be, in Hz; above zero.</param>
    public static double Difference(double rate, double nominal)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(nominal);
        return (rate - nominal) / nominal * 1e6;
    }

    /// <summary>Whether a follower goes along with a rate.</summary>
    /// <param name="rate">The rate it is given, in Hz.</param>
    /// <param name="nominal">The rate it is set to, in Hz.</param>
    /// <param name="capture">How far it goes along, in ppm to either side.</param>
    public static bool IsCaptured(double rate, double nominal, double capture)
    {
        // A rate at the very edge counts; numbers of this size are rounded at the tenth figure of a ppm.
        const double Rounding = 1e-6;
        return Math.Abs(Difference(rate, nominal)) <= capture + Rounding;
    }
}
