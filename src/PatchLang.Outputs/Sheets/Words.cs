using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>Words for figures and lists, the same on every sheet.</summary>
internal static class Words
{
    /// <summary>A gain: <c>−6 dB</c>; "by ear" if the plan states none.</summary>
    public static string Gain(double? gain) => gain is { } known ? $"{Signed(known)} dB" : "by ear";

    /// <summary>A number with its sign.</summary>
    public static string Signed(double value) => value > 0 ? $"+{Quantity.Number(value)}" : value < 0 ? $"\u2212{Quantity.Number(-value)}" : "0";

    /// <summary>A tap point in a strip; empty if the plan states none.</summary>
    public static string TapOf(Tap tap) => tap == Tap.Unstated ? "" : tap.Words();

    /// <summary>A length; empty where it is unknown.</summary>
    public static string Length(double? metres) => metres is { } known ? Quantity.Metres(known) : "";

    /// <summary>A count and what it counts: <c>1 cable</c>, <c>4 cables</c>.</summary>
    public static string Count(int count, string one, string? many = null) =>
        string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? one : many ?? one + "s")}");

    /// <summary>Numbers as runs: <c>1 to 4, 7, 9 to 12</c>. They must be sorted.</summary>
    public static string Runs(IEnumerable<int> numbers)
    {
        var runs = new List<(int First, int Last)>();
        foreach (var number in numbers)
            if (runs.Count > 0 && runs[^1].Last == number - 1) runs[^1] = (runs[^1].First, number);
            else runs.Add((number, number));
        return string.Join(", ", runs.Select(r => r.First == r.Last ? $"{r.First}" : r.Last == r.First + 1 ? $"{r.First}, {r.Last}" : $"{r.First} to {r.Last}"));
    }

    /// <summary>A list, with "and" before the last item.</summary>
    public static string And(IReadOnlyList<string> words) =>
        words.Count switch { 0 => "", 1 => words[0], _ => $"{string.Join(", ", words.Take(words.Count - 1))} and {words[^1]}" };
}
