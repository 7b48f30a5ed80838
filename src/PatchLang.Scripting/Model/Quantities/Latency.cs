using PatchLang.Text;

namespace PatchLang.Scripting.Model;

/// <summary>
/// A latency. Gear may state a range; if something on the way is unknown, both ends are lower bounds.
/// The comparisons tell what is <em>certain</em>: for an unknown latency neither <c>&gt; 5.ms</c> nor <c>&lt;= 5.ms</c> need hold.
/// </summary>
/// <param name="Earliest">The least it can be.</param>
/// <param name="Latest">The most it can be, if it is known.</param>
/// <param name="IsKnown">Whether everything on the way is known.</param>
public readonly record struct Latency(TimeSpan Earliest, TimeSpan Latest, bool IsKnown)
{
    /// <summary>Whether it is certainly longer than a time: even the least is.</summary>
    public static bool operator >(Latency latency, TimeSpan time) => latency.Earliest > time;

    /// <summary>Whether it is certainly at least as long as a time.</summary>
    public static bool operator >=(Latency latency, TimeSpan time) => latency.Earliest >= time;

    /// <summary>Whether it is certainly shorter than a time: it is known, and even the most is.</summary>
    public static bool operator <(Latency latency, TimeSpan time) => latency.IsKnown && latency.Latest < time;

    /// <summary>Whether it is certainly no longer than a time.</summary>
    public static bool operator <=(Latency latency, TimeSpan time) => latency.IsKnown && latency.Latest <= time;

    /// <summary>The latency as findings write it: <c>0.4 ms</c>, <c>2 to 3 ms</c>, <c>at least 2 ms</c>.</summary>
    public override string ToString() =>
        IsKnown ? Quantity.Milliseconds(Earliest.TotalSeconds, Latest.TotalSeconds) : $"at least {Quantity.Milliseconds(Earliest.TotalSeconds)}";

    internal static Latency OfSeconds(double earliest, double latest, bool isKnown) => new(Seconds(earliest), Seconds(latest), isKnown);

    // A tick is 100 ns, a small fraction of a sample at any rate. Rounded, so that 0.001 s is exactly 1 ms.
    internal static TimeSpan Seconds(double seconds) => TimeSpan.FromTicks((long)Math.Round(seconds * TimeSpan.TicksPerSecond));
}
