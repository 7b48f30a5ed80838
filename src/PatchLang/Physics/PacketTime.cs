namespace PatchLang.Physics;

/// <summary>
/// Packet times: how much audio a packet holds. They are named by their duration at 48 kHz and its multiples; at 44.1 kHz and its
/// multiples a packet has the same number of samples, and so lasts a little longer (AES67 7.2, secondary).
/// </summary>
public static class PacketTime
{
    /// <summary>The packet time that every AES67 device supports, in seconds. AES67 7.2, secondary.</summary>
    public const double Usual = 1e-3;

    /// <summary>The fewest packets in a receiver's buffer. AES67 7.5, secondary.</summary>
    public const int LeastBuffered = 3;

    private const double OneThird = 1e-3 / 3;

    private static readonly double[] Known = [125e-6, 250e-6, OneThird, Usual, 4e-3];

    /// <summary>The packet times of AES67, in seconds, the shortest first: 125, 250 and 333 µs, 1 ms, 4 ms (7.2, secondary).</summary>
    public static ReadOnlySpan<double> All => Known;

    /// <summary>The number of samples per channel in a packet.</summary>
    /// <param name="packetTime">The packet time in seconds, above zero; a third of a millisecond may be written as 333 µs.</param>
    /// <param name="rate">The sample rate in Hz, above zero.</param>
    /// <returns>At least 1.</returns>
    public static int Samples(double packetTime, double rate)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(packetTime);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rate);
        return Math.Max(1, (int)Math.Min(int.MaxValue, Math.Round(packetTime * NamedRate(rate))));
    }

    /// <summary>
    /// The actual duration of a packet, in seconds: at 44.1 kHz one of 1 ms has 48 samples, and lasts 1.088 ms. Session descriptions
    /// state it (AES67 8.1; formula secondary).
    /// </summary>
    /// <param name="packetTime">The packet time in seconds, above zero.</param>
    /// <param name="rate">The sample rate in Hz, above zero.</param>
    public static double Signalled(double packetTime, double rate) => Samples(packetTime, rate) / rate;

    /// <summary>Whether AES67 defines a packet time at a rate: there are no packets of 4 ms at 96 kHz (7.2, secondary).</summary>
    /// <param name="packetTime">The packet time in seconds.</param>
    /// <param name="rate">The sample rate in Hz.</param>
    public static bool IsDefined(double packetTime, double rate)
    {
        if (NamedRate(rate) is not (48000 or 96000)) return false;
        foreach (var known in Known)
            if (IsSame(known, packetTime)) return known < 4e-3 || NamedRate(rate) < 96000;
        return false;
    }

    /// <summary>Whether two packet times are the same: they may differ by less than half a sample (AES67 8.1, secondary), here at 96 kHz.</summary>
    /// <param name="left">One, in seconds.</param>
    /// <param name="right">The other, in seconds.</param>
    public static bool IsSame(double left, double right) => Math.Abs(left - right) < 0.5 / 96000;

    // 44.1 kHz and its multiples are treated as 48 kHz and its multiples.
    private static double NamedRate(double rate)
    {
        var times = rate / 44100;
        return Math.Abs(times - Math.Round(times * 4) / 4) < 1e-9 && times * 4 >= 1 ? times * 48000 : rate;
    }
}
