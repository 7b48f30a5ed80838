using System.Globalization;

namespace PatchLang.Text;

/// <summary>What a quantity measures.</summary>
public enum Measure
{
    /// <summary>A bare number.</summary>
    None,

    /// <summary>Frequency and sample rate, in Hz.</summary>
    Frequency,

    /// <summary>Time, in seconds.</summary>
    Time,

    /// <summary>Gain, in dB.</summary>
    Gain,

    /// <summary>Level, in dBu (0 dBu = 0.7746 V).</summary>
    LevelDbu,

    /// <summary>Level, in dBV (0 dBV = 1 V).</summary>
    LevelDbv,

    /// <summary>Level relative to digital full scale, in dBFS.</summary>
    LevelDbfs,

    /// <summary>Voltage, in volts.</summary>
    Voltage,

    /// <summary>Current, in amperes.</summary>
    Current,

    /// <summary>Power, in watts.</summary>
    Power,

    /// <summary>Accuracy, in parts per million.</summary>
    Accuracy,

    /// <summary>Length, in metres.</summary>
    Length,

    /// <summary>Impedance, in ohms.</summary>
    Impedance,

    /// <summary>Data rate, in bits per second.</summary>
    DataRate,

    /// <summary>A share, in per cent.</summary>
    Share,
}

/// <summary>A number and what it measures, in the base unit of that measure.</summary>
public readonly record struct Quantity(double Value, Measure Measure)
{
    /// <summary>The measure of a unit symbol, and the factor to the base unit; <see cref="Measure.None"/> if there is no such symbol.</summary>
    public static (Measure Measure, double Factor) UnitOf(ReadOnlySpan<char> symbol) => symbol switch
    {
        "Hz" => (Measure.Frequency, 1),
        "kHz" => (Measure.Frequency, 1e3),
        "MHz" => (Measure.Frequency, 1e6),
        "s" => (Measure.Time, 1),
        "ms" => (Measure.Time, 1e-3),
        "us" or "\u00B5s" or "\u03BCs" => (Measure.Time, 1e-6),
        "ns" => (Measure.Time, 1e-9),
        "dB" => (Measure.Gain, 1),
        "dBu" => (Measure.LevelDbu, 1),
        "dBV" => (Measure.LevelDbv, 1),
        "dBFS" => (Measure.LevelDbfs, 1),
        "V" => (Measure.Voltage, 1),
        "mV" => (Measure.Voltage, 1e-3),
        "A" => (Measure.Current, 1),
        "mA" => (Measure.Current, 1e-3),
        "W" => (Measure.Power, 1),
        "mW" => (Measure.Power, 1e-3),
        "ppm" => (Measure.Accuracy, 1),
        "m" => (Measure.Length, 1),
        "km" => (Measure.Length, 1e3),
        "ft" => (Measure.Length, 0.3048), // exact since 1959
        "ohm" => (Measure.Impedance, 1),
        "Mbit/s" => (Measure.DataRate, 1e6),
        "Gbit/s" => (Measure.DataRate, 1e9),
        "%" => (Measure.Share, 1),
        _ => (Measure.None, 1),
    };

    /// <summary>The unit symbols of a measure, as messages list them.</summary>
    public static string SymbolsOf(Measure measure) => measure switch
    {
        Measure.Frequency => "Hz, kHz or MHz",
        Measure.Time => "s, ms, us or ns",
        Measure.Gain => "dB",
        Measure.LevelDbu => "dBu",
        Measure.LevelDbv => "dBV",
        Measure.LevelDbfs => "dBFS",
        Measure.Voltage => "V or mV",
        Measure.Current => "A or mA",
        Measure.Power => "W or mW",
        Measure.Accuracy => "ppm",
        Measure.Length => "m, km or ft",
        Measure.Impedance => "ohm",
        Measure.DataRate => "Mbit/s or Gbit/s",
        Measure.Share => "%",
        _ => "no unit",
    };

    /// <summary>A sample rate or frequency as the trade writes it: <c>48 kHz</c>, <c>44.1 kHz</c>.</summary>
    public static string Frequency(double hertz) =>
        hertz >= 1e6 ? Number(hertz / 1e6) + " MHz" : hertz >= 1e3 ? Number(hertz / 1e3) + " kHz" : Number(hertz) + " Hz";

    /// <summary>A time in milliseconds: <c>0.4 ms</c>; a range if both ends are given: <c>2 to 3 ms</c>.</summary>
    public static string Milliseconds(double seconds, double? upTo = null) =>
        Number(seconds * 1e3) is var from && upTo is { } last && Number(last * 1e3) is var to && to != from ? $"{from} to {to} ms" : $"{from} ms";

    /// <summary>A length: <c>12 m</c>.</summary>
    public static string Metres(double metres) => Number(metres) + " m";

    /// <summary>A data rate: <c>9.84 Mbit/s</c>, <c>1 Gbit/s</c>.</summary>
    public static string BitRate(double bits) => bits >= 1e9 ? Number(bits / 1e9) + " Gbit/s" : Number(bits / 1e6) + " Mbit/s";

    /// <summary>A number with at most three decimals and a decimal point, in any culture.</summary>
    public static string Number(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
