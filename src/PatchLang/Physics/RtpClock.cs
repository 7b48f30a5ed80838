namespace PatchLang.Physics;

/// <summary>The media clock of RTP, which counts samples.</summary>
public static class RtpClock
{
    /// <summary>
    /// The time until the 32-bit time stamp wraps around, in seconds: 2³² /
    /// rate, since it counts samples (RFC 3550 5.1; RFC 3190 4 for the unit).
    /// </summary>
    /// <param name="rate">The sample rate in Hz; above zero.</param>
    public static double Wrap(double rate)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rate);
        return 4294967296.0 / rate;
    }
}
