using PatchLang.Text;

namespace PatchLang.Physics;

/// <summary>
/// Sample slips between two clocks that run free of each other: one produces samples slightly faster than
/// the other consumes them, so that now and then one is dropped or repeated, which is heard as a click.
/// </summary>
public static class ClockSlip
{
    /// <summary>The time between slips, in seconds: samples / (rate · difference · 10⁻⁶).</summary>
    /// <param name="rate">The sample rate in Hz; above zero.</param>
    /// <param name="difference">The difference between the clocks in ppm; the sign does not matter. At 0 the interval is infinite.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at a time: 1 without a buffer.</param>
    public static double Interval(double rate, double difference, int samples = 1)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rate);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(samples);
        return samples / (rate * Math.Abs(difference) * 1e-6);
    }

    /// <summary>The worst-case interval: both clocks are off by their full tolerance, in opposite directions.</summary>
    /// <param name="rate">The sample rate in Hz.</param>
    /// <param name="oneAccuracy">The one clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="otherAccuracy">The other clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at a time.</param>
    /// <returns>Seconds; null if a tolerance is unknown.</returns>
    public static double? Worst(double rate, double? oneAccuracy, double? otherAccuracy, int samples = 1) =>
        oneAccuracy + otherAccuracy is { } most ? Interval(rate, most, samples) : null;

    /// <summary>
    /// The interval between two ordinary clocks, which differ by 2 to 5 ppm (common
    /// practice, no source), but never by more than their tolerances allow.
    /// </summary>
    /// <param name="rate">The sample rate in Hz.</param>
    /// <param name="oneAccuracy">The one clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="otherAccuracy">The other clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at a time.</param>
    public static SlipInterval Typical(double rate, double? oneAccuracy = null, double? otherAccuracy = null, int samples = 1)
    {
        var most = Math.Min(ClockTolerance.OrdinaryDifferenceMost, oneAccuracy + otherAccuracy ?? double.PositiveInfinity);
        var least = most < ClockTolerance.OrdinaryDifferenceLeast ? 0 : ClockTolerance.OrdinaryDifferenceLeast;
        return new SlipInterval(Interval(rate, most, samples), Interval(rate, least, samples));
    }

    /// <summary>
    /// What can be heard between two free-running clocks, as one sentence without a full stop, for a finding: how often typically and at
    /// worst, with the assumption behind each.
    /// </summary>
    /// <param name="rate">The sample rate in Hz.</param>
    /// <param name="oneAccuracy">The one clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="otherAccuracy">The other clock's tolerance in ppm; null if the plan does not say.</param>
    /// <param name="samples">How many samples the receiver drops or repeats at a time.</param>
    public static string Describe(double rate, double? oneAccuracy, double? otherAccuracy, int samples = 1)
    {
        var typical = Typical(rate, oneAccuracy, otherAccuracy, samples);
        var heard = typical.Describe() + (samples > 1 ? $", {samples} samples each" : "");
        var ordinary = $"ordinary clocks are {Quantity.Number(ClockTolerance.OrdinaryDifferenceLeast)} to {Quantity.Number(ClockTolerance.OrdinaryDifferenceMost)} ppm apart";
        if (Worst(rate, oneAccuracy, otherAccuracy, samples) is not { } worst)
            return $"{heard} ({ordinary}); the worst is unknown until each clock's `accuracy` is declared";
        var tolerances = $"{Quantity.Number(oneAccuracy!.Value)} and {Quantity.Number(otherAccuracy!.Value)} ppm";
        // With tolerances this narrow, the typical range already ends at the worst case.
        return worst < typical.Shortest
            ? $"{heard} ({ordinary}), about once in {SlipInterval.Describe(worst)} at worst ({tolerances}, added)"
            : $"{heard} (within {tolerances} they are no further apart)";
    }

    /// <summary>The difference between a rate and its nominal value, in ppm of the latter: 48 003 Hz is 62.5 ppm above 48 kHz.</summary>
    /// <param name="rate">The rate in Hz.</param>
    /// <param name="nominal">The nominal rate in Hz; above zero.</param>
    public static double Difference(double rate, double nominal)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(nominal);
        return (rate - nominal) / nominal * 1e6;
    }
}
