namespace PatchLang.Physics;

/// <summary>A ratio by which a sample rate is pulled up or down, to keep sound in sync with picture.</summary>
/// <param name="Numerator">Above zero.</param>
/// <param name="Denominator">Above zero.</param>
/// <param name="Name">What the trade calls it; empty for no pull.</param>
public readonly record struct Pull(int Numerator, int Denominator, string Name)
{
    /// <summary>The change of rate, in ppm: −999.001 for 1000/1001.</summary>
    public double Ppm => (double)(Numerator - Denominator) / Denominator * 1e6;

    /// <summary>A nominal rate in Hz, pulled; correctly rounded.</summary>
    public double Of(int rate) => (double)((long)rate * Numerator) / Denominator;
}

/// <summary>A standard sample rate, possibly pulled.</summary>
/// <param name="Nominal">The nominal rate in Hz.</param>
/// <param name="Pull">The pull.</param>
public readonly record struct StandardRate(int Nominal, Pull Pull)
{
    /// <summary>The rate in Hz.</summary>
    public double Hertz => Pull.Of(Nominal);
}

/// <summary>
/// The sample rates of the trade. AES5-2018 prefers 48 kHz and lists 32, 44.1 and 96 kHz and multiples of these (from memory);
/// telephony uses 8 and 16 kHz (ITU-T G.711 and G.722, from memory). Pulled rates: 1000/1001 for pictures at 29.97 frames a second, 24/25
/// and 25/24 between film and pictures at 25 frames a second (the ratios are those of the picture rates; the values are computed).
/// </summary>
public static class SampleRates
{
    /// <summary>No pull.</summary>
    public static readonly Pull None = new(1, 1, "");

    /// <summary>The nominal rates in Hz, the most usual first.</summary>
    public static readonly IReadOnlyList<int> Nominal =
    [
        48000, 96000, 44100, 88200, 192000, 176400, 32000, 64000, 128000, 384000, 352800, 24000, 22050, 16000, 8000, 12000, 11025,
    ];

    /// <summary>The ratios a rate is pulled by, no pull first.</summary>
    public static readonly IReadOnlyList<Pull> Pulls =
    [
        None,
        new(1000, 1001, "pulled down by 1/1.001"),
        new(1001, 1000, "pulled up by 1.001"),
        new(24, 25, "pulled down by 24/25"),
        new(25, 24, "pulled up by 25/24"),
        new(24 * 1000, 25 * 1001, "pulled down by 24/25 and 1/1.001"),
        new(25 * 1001, 24 * 1000, "pulled up by 25/24 and 1.001"),
        new(24 * 1001, 25 * 1000, "pulled down by 24/25, up by 1.001"),
        new(25 * 1000, 24 * 1001, "pulled up by 25/24, down by 1/1.001"),
    ];

    /// <summary>How far a written rate may be from the exact one, in Hz: pulled rates are written to the Hz (47.952 kHz).</summary>
    private const double Rounding = 0.5;

    /// <summary>The standard rate that a written rate stands for, or null.</summary>
    /// <param name="hertz">In Hz.</param>
    public static StandardRate? Find(double hertz)
    {
        foreach (var pull in Pulls)
            foreach (var nominal in Nominal)
                if (Math.Abs(pull.Of(nominal) - hertz) <= Rounding) return new StandardRate(nominal, pull);
        return null;
    }

    /// <summary>The nominal rate nearest to a written one, by relative difference.</summary>
    /// <param name="hertz">In Hz.</param>
    public static int Nearest(double hertz) => Nominal.MinBy(nominal => Math.Abs(hertz - nominal) / nominal);
}
