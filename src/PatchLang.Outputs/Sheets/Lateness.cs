using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>How much later than played a sound is heard, in words for performers; says so if that is unknown.</summary>
internal static class Lateness
{
    // In metres per second, in dry air at 20 °C (handbook figure, from memory).
    private const double SpeedOfSound = 343;

    /// <summary>As a column shows it: <c>2.1 to 4.3 ms</c>, <c>at least 2.1 ms</c>, "at once", "not known".</summary>
    public static string Words(PlanBook book, IEnumerable<GraphPoint> points, ActSet acts) => Words(Between(book, points, acts));

    /// <summary>As a sentence, with a comparison to a distance that any performer can picture.</summary>
    public static string Sentence(PlanBook book, IEnumerable<GraphPoint> points, ActSet acts)
    {
        var heard = Between(book, points, acts);
        return Words(heard) switch
        {
            "not known" => "How much later you hear this than it is played is not known.",
            "at once" => "You hear this as it is played, without a delay.",
            var words when !heard.IsKnown => $"You hear this {words} after it is played; how much more is not known.",
            var words when heard.Latest < 1e-3 => $"You hear this {words} after it is played.",
            var words => $"You hear this {words} after it is played: about as late as from a loudspeaker {Figure(heard.Latest * SpeedOfSound)} m away.",
        };
    }

    /// <summary>The earliest and the latest arrival, in seconds; if something is unknown, the latest is a lower bound.</summary>
    private static (double Earliest, double Latest, bool IsKnown) Between(PlanBook book, IEnumerable<GraphPoint> points, ActSet acts)
    {
        var arrivals = book.Plan.Facts.Views.Where(v => v.Acts.Meets(acts & book.Acts)).SelectMany(v => points.Distinct().Select(p => v.ArrivalAt(p.Node))).ToList();
        if (arrivals.Count == 0 || arrivals.Exists(a => a.IsBroken)) return (0, 0, false);
        var isKnown = arrivals.TrueForAll(a => a.IsKnown);
        return (arrivals.Min(a => a.Earliest), isKnown ? arrivals.Max(a => a.Latest) : arrivals.Min(a => a.Latest), isKnown);
    }

    private static string Words((double Earliest, double Latest, bool IsKnown) heard)
    {
        var (from, to) = (Figure(heard.Earliest * 1e3), Figure(heard.Latest * 1e3));
        if (to == "0") return heard.IsKnown ? "at once" : "not known";
        return !heard.IsKnown ? $"at least {to} ms" : from == to ? $"{to} ms" : $"{from} to {to} ms";
    }

    /// <summary>To a tenth, as no one hears smaller differences.</summary>
    private static string Figure(double value) => value.ToString("0.#", CultureInfo.InvariantCulture);
}
