using PatchLang.Text;

namespace PatchLang.Scripting.Model;

/// <summary>
/// How late a sound is. Gear may state a range; where something on the way is unknown, the figures are no less than these.
/// The comparisons say what is <em>sure</em>: of an unknown latency neither <c>&gt; 5.ms</c> nor <c>&lt;= 5.ms</c> may hold.
/// </summary>
/// <param name="Earliest">The least it can be.</param>
/// <param name="Latest">The most it can be, if it is known.</param>
/// <param name="IsKnown">Whether all on the way is known.</param>
public readonly record struct Latency(TimeSpan Earliest, TimeSpan Latest, bool IsKnown)
{
    /// <summary>Whether it is surely longer than a time: even the least is.</summary>
    public static bool operator >(Latency latency, TimeSpan time) => latency.Earliest > time;

    /// <summary>Whether it is surely as long as a time.</summary>
    public static bool operator >=(Latency latency, TimeSpan time) => latency.Earliest >= time;

    /// <summary>Whether it is surely shorter than a time: it is known, and even the most is.</summary>
    public static bool operator <(Latency latency, TimeSpan time) => latency.IsKnown && latency.Latest < time;

    /// <summary>Whether it is surely no longer than a time.</summary>
    public static bool operator <=(Latency latency, TimeSpan time) => latency.IsKnown && latency.Latest <= time;

    /// <summary>As findings write it: <c>0.4 ms</c>, <c>2 to 3 ms</c>, <c>at least 2 ms</c>.</summary>
    public override string ToString() =>
        IsKnown ? Quantity.Milliseconds(Earliest.TotalSeconds, Latest.TotalSeconds) : $"at least {Quantity.Milliseconds(Earliest.TotalSeconds)}";

    internal static Latency OfSeconds(double earliest, double latest, bool isKnown) => new(Seconds(earliest), Seconds(latest), isKnown);

    // A tick is 100 ns, a hundredth of a sample at most rates: rounded, so that 0.001 s is 1 ms.
    internal static TimeSpan Seconds(double seconds) => TimeSpan.FromTicks((long)Math.Round(seconds * TimeSpan.TicksPerSecond));
}
