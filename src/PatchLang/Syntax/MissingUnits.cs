using System.Globalization;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>Numbers whose unit is missing or unknown, and unit symbols where a setting's name belongs.</summary>
internal static class MissingUnits
{
    /// <summary>Reports an error about a unit; false if it is about something else.</summary>
    public static bool Tell(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        if (error.Rule == NodeKind.Measure) return TellNumber(broken, error, broken.Shape.ParentOf(error.Node));
        if (error.Rule == NodeKind.Span && error.Expected.Contains(TokenKind.Symbol)) return TellNumber(broken, error, error.Node);
        if (broken.KindOf(error.Token) == TokenKind.Symbol && error.Expected.Contains(TokenKind.CloseBrace) && error.Expected.Contains(TokenKind.Name))
        {
            broken.Add(error.Token, TextFindings.UnitAsSetting(broken.TextOf(error.Token)));
            return true;
        }
        return false;
    }

    private static bool TellNumber(BrokenStatement broken, ShapeError error, int node)
    {
        if (Expectations.QuantityAt(broken.Shape, error) is not { } wanted) return false;
        var first = broken.Shape.Nodes[node].FirstToken;
        var end = error.Token;
        var span = broken.Reading.SpanOf(first, end);
        var written = broken.Reading.TextOf(span).ToString();
        var symbols = Quantity.SymbolsOf(wanted.Measure);

        // There is a word in the unit's place, but it is not a unit.
        var isOnLine = end < broken.TokenCount && !broken.IsFirstOnLine(end);
        if (isOnLine && broken.KindOf(end) == TokenKind.Name && (broken.IsGlued(end) || NearestUnit(broken.TextOf(end), symbols) is not null))
        {
            var unit = broken.TextOf(end);
            var meant = NearestUnit(unit, symbols);
            var at = broken.Reading.SpanOf(end);
            broken.Add(end, new TextProblem(TextFindings.UnknownUnit(unit, wanted.Name, symbols, meant), at)
            {
                Mends = meant is null ? [] : [new TextMend($"write `{meant}`", string.Equals(unit, meant, StringComparison.OrdinalIgnoreCase), at, meant)],
            });
            return true;
        }

        var likely = LikelyUnit(broken, end - 1, wanted);
        broken.Add(Math.Max(end - 1, 0), new TextProblem(TextFindings.UnitMissing(wanted.Name, written, likely), span)
        {
            Mends = [new TextMend($"write `{written} {likely}`", false, new TextSpan(span.End, 0), " " + likely)],
        });
        return true;
    }

    private static string? NearestUnit(string unit, string symbols)
    {
        var known = symbols.Split([", ", " or "], StringSplitOptions.None);
        if (SymbolOf(unit.ToLowerInvariant()) is { } symbol && known.Contains(symbol)) return symbol;
        return known.FirstOrDefault(k => string.Equals(k, unit, StringComparison.OrdinalIgnoreCase)) ?? Nearest.To(unit, known.Where(k => k.Length > 1));
    }

    private static string? SymbolOf(string word) => word switch
    {
        "k" or "kilohertz" => "kHz",
        "hertz" => "Hz",
        "sec" or "secs" or "second" or "seconds" => "s",
        "msec" or "msecs" or "millisecond" or "milliseconds" => "ms",
        "metre" or "metres" or "meter" or "meters" or "mtr" => "m",
        "foot" or "feet" => "ft",
        "mbit" or "mbps" or "meg" => "Mbit/s",
        "g" or "gig" or "gbit" or "gbps" => "Gbit/s",
        _ => null,
    };

    // 48 means 48 kHz, and 48000 means 48000 Hz: no device runs at the other reading.
    private static string LikelyUnit(BrokenStatement broken, int token, WantedQuantity wanted) => wanted.Measure switch
    {
        Measure.Frequency when ValueOf(broken, token) >= 1000 => "Hz",
        Measure.DataRate when ValueOf(broken, token) >= 100 => "Mbit/s",
        _ => wanted.Unit,
    };

    private static double ValueOf(BrokenStatement broken, int token) =>
        double.TryParse(broken.TextOf(token), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value) ? value : 0;
}
