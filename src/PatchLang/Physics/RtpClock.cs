namespace PatchLang.Physics;

/// <summary>The clock that RTP counts samples with.</summary>
public static class RtpClock
{
    /// <summary>How long until the time stamp begins anew, in seconds: 2³² / rate, since it has 32 bits and counts samples (RFC 3550 5.1; RFC 3190 4 for the unit).</summary>
    /// <param name="rate">The sample rate in Hz; above zero.</param>
    public static double Wrap(double rate)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rate);
        return 4294967296.0 / rate;
    }
}
