using System.Globalization;

namespace PatchLang.Physics;

/// <summary>The time between slips, as a range.</summary>
/// <param name="Shortest">In seconds; above zero, and infinite if there are no slips.</param>
/// <param name="Longest">In seconds; infinite if there may be no slips.</param>
public readonly record struct SlipInterval(double Shortest, double Longest)
{
    private static readonly (double Seconds, string One, string Many)[] Units =
    [
        (86400, "day", "days"),
        (3600, "hour", "hours"),
        (60, "minute", "minutes"),
        (1, "second", "seconds"),
    ];

    /// <summary>The range in words: <c>a click every 4 to 10 seconds</c>, <c>20 to 48 clicks a second</c>.</summary>
    public string Describe()
    {
        if (double.IsInfinity(Shortest)) return "no clicks";
        // Mixing both forms would be hard to read: a range that reaches more than one a second is stated per second.
        if (Shortest < 0.95) return DescribeBySecond();
        var unit = UnitOf(Shortest);
        var from = Round(Shortest / unit.Seconds);
        if (double.IsInfinity(Longest)) return $"a click every {Counted(from, unit)} or more seldom";
        var range = Range(from, Round(Longest / unit.Seconds));
        return range is "1" ? "a click every " + unit.One : $"a click every {range} {unit.Many}";
    }

    private string DescribeBySecond()
    {
        var most = Round(1 / Shortest);
        if (double.IsInfinity(Longest)) return $"up to {most} clicks a second";
        var range = Range(Round(1 / Longest), most);
        return range is "1" ? "a click a second" : range + " clicks a second";
    }

    /// <summary>One interval to three significant figures: <c>1.04 s</c>, <c>2.9 hours</c>.</summary>
    /// <param name="seconds">The interval in seconds; above zero.</param>
    public static string Describe(double seconds)
    {
        if (seconds < 0.9995) return Figures(seconds * 1000, 3) + " ms";
        var unit = UnitOf(seconds);
        return unit.Seconds > 1 ? Counted(Figures(seconds / unit.Seconds, 3), unit) : Figures(seconds, 3) + " s";
    }

    // Seconds up to a hundred seconds, minutes up to a hundred minutes, hours up to forty hours.
    private static (double Seconds, string One, string Many) UnitOf(double seconds)
    {
        foreach (var unit in Units.AsSpan(..^1))
            if (seconds >= unit.Seconds * 1.67) return unit;
        return Units[^1];
    }

    private static string Counted(string number, (double Seconds, string One, string Many) unit) =>
        number is "1" ? "1 " + unit.One : number + " " + unit.Many;

    private static string Range(string from, string to) => string.Equals(from, to, StringComparison.Ordinal) ? from : from + " to " + to;

    // The ends of a rule-of-thumb range are whole numbers, or have one significant figure below 1.
    private static string Round(double value) => value < 0.95 ? Figures(value, 1) : value.ToString("0", CultureInfo.InvariantCulture);

    private static string Figures(double value, int figures)
    {
        if (value <= 0) return "0";
        var decimals = Math.Clamp(figures - 1 - (int)Math.Floor(Math.Log10(value)), 0, 15);
        return Math.Round(value, decimals).ToString("0." + new string('#', decimals), CultureInfo.InvariantCulture);
    }
}
