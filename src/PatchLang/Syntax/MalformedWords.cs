using System.Globalization;
using System.Text;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Tokens that start like a number or a name but do not continue like one: <c>.5</c>, <c>2nd</c>, <c>1e3</c>, <c>48,5</c>, <c>up-stage</c>.
/// </summary>
internal static class MalformedWords
{
    /// <summary>Reports an error that such a word caused; false if none did.</summary>
    public static bool Tell(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        var at = error.Token;
        if (at >= broken.TokenCount) return false;
        return TellNumber(broken, error, at) || TellName(broken, number, at);
    }

    private static bool TellNumber(BrokenStatement broken, ShapeError error, int at)
    {
        var isAfterNumber = broken.KindOf(at - 1) == TokenKind.Number;
        switch (broken.KindOf(at))
        {
            // .5
            case TokenKind.Dot when IsNumber(at + 1) && broken.IsGlued(at + 1) && !broken.IsGlued(at):
                return Add(at, at + 2, "0" + Text(at, at + 2), TextFindings.FractionWithoutNought);

            // 1.5.2, then 1.
            case TokenKind.Dot when isAfterNumber && broken.IsGlued(at) && IsNumber(at + 1) && broken.IsGlued(at + 1):
                return Add(at - 1, at + 2, null, (text, _) => TextFindings.NoNumber(text));
            case TokenKind.Dot when isAfterNumber && broken.IsGlued(at) && !broken.IsGlued(at + 1):
                return Add(at - 1, at + 1, Text(at - 1, at), TextFindings.PointWithoutFraction);

            // 48,000: an English thousand, or 48 with a fraction
            case TokenKind.Comma when isAfterNumber && broken.IsGlued(at) && IsNumber(at + 1) && broken.IsGlued(at + 1) && error.Rule == NodeKind.Measure && broken.Reading.SpanOf(at + 1).Length == 3:
                var (whole, rest) = (Text(at - 1, at), Text(at + 1, at + 2));
                AddWord(broken, at - 1, at + 2, TextFindings.DigitsSeparated(Text(at - 1, at + 2), whole + rest), [(whole + rest, false), ($"{whole}.{rest}", false)]);
                return true;

            // 48,5
            case TokenKind.Comma when isAfterNumber && broken.IsGlued(at) && IsNumber(at + 1) && broken.IsGlued(at + 1) && error.Rule == NodeKind.Measure:
                return Add(at - 1, at + 2, Text(at - 1, at) + "." + Text(at + 1, at + 2), TextFindings.DecimalComma);

            // 48 000
            case TokenKind.Number when isAfterNumber && error.Rule == NodeKind.Measure && broken.Reading.SpanOf(at).Length == 3
                && broken.Reading.SpanOf(at).Start == broken.Reading.SpanOf(at - 1).End + 1:
                return Add(at - 1, at + 1, Text(at - 1, at) + Text(at, at + 1), TextFindings.DigitsApart);

            // 1_000
            case TokenKind.Name when isAfterNumber && broken.IsGlued(at) && Text(at, at + 1) is ['_', ..] digits && digits.All(c => c == '_' || char.IsAsciiDigit(c)):
                return Add(at - 1, at + 1, Text(at - 1, at) + digits.Replace("_", "", StringComparison.Ordinal), TextFindings.DigitsSeparated);

            // 1e3, 1e-3
            case TokenKind.Name when isAfterNumber && broken.IsGlued(at) && error.Rule == NodeKind.Measure && PowerOfTen(at, out var end) is { } plain:
                return Add(at - 1, end, plain, TextFindings.NumberInFull);
            default:
                return false;
        }

        bool IsNumber(int token) => broken.KindOf(token) == TokenKind.Number;

        string Text(int first, int end) => broken.Reading.TextOf(broken.Reading.SpanOf(first, end)).ToString();

        bool Add(int first, int end, string? mended, Func<string, string, FindingMessage> message)
        {
            AddWord(broken, first, end, message(Text(first, end), mended ?? ""), mended is null ? [] : [(mended, true)]);
            return true;
        }

        string? PowerOfTen(int token, out int end)
        {
            end = token + 1;
            var rest = Text(token, end);
            if (rest is "e" or "E" && broken.KindOf(token + 1) is TokenKind.Minus or TokenKind.Plus && IsNumber(token + 2))
                rest = Text(token, end = token + 3);
            return rest[0] is 'e' or 'E' && double.TryParse(Text(token - 1, token) + rest, NumberStyles.Float, CultureInfo.InvariantCulture, out var value)
                && value is > 0 and < 1e15 ? ((decimal)value).ToString(CultureInfo.InvariantCulture) : null;
        }
    }

    /// <summary>Names with a leading digit or with a sign inside: a run of words and signs without gaps.</summary>
    private static bool TellName(BrokenStatement broken, int number, int at)
    {
        var error = broken.Shape.Errors[number];
        if (!IsInWord(at)) return false;
        var first = at;
        while (IsInWord(first - 1) && broken.IsGlued(first)) first--;
        var end = at + 1;
        while (IsInWord(end) && broken.IsGlued(end)) end++;
        while (first < at && IsInnerSign(broken.KindOf(first))) first++;
        while (end > at + 1 && IsInnerSign(broken.KindOf(end - 1))) end--;
        if (end - first < 2 || IsInnerSign(broken.KindOf(first)) || IsInnerSign(broken.KindOf(end - 1))) return false;

        var startsWithDigit = broken.KindOf(first) == TokenKind.Number;
        var hasSign = false;
        var hasName = false;
        for (var token = first; token < end; token++)
        {
            hasSign |= IsInnerSign(broken.KindOf(token));
            hasName |= broken.KindOf(token).CanBeName();
        }
        // A dash between numbers is a range, and a number followed by a unit is not a malformed name.
        if (!hasName || (startsWithDigit && !hasSign && (at != first || !error.Expected.Contains(TokenKind.Name)))) return false;

        var word = broken.Reading.TextOf(broken.Reading.SpanOf(first, end)).ToString();
        // Format names join their standard and its number without a dash.
        var isFormat = broken.KindOf(first - 1) == TokenKind.Colon && broken.Statement.Kind is NodeKind.Network or NodeKind.Gear or NodeKind.Card;
        var name = isFormat && end - first == 3 && broken.KindOf(first + 2) == TokenKind.Number ? word.Replace("-", "", StringComparison.Ordinal) : NameOf(word);
        if (broken.Statement.Kind == NodeKind.Feed && error.Rule is NodeKind.Settings or NodeKind.Setting && word is "48V" or "48v" && OtherWords.TellPhantom(broken, error)) return true;
        var isValue = broken.KindOf(first - 1) == TokenKind.Equal;
        AddWord(broken, first, end, hasSign ? TextFindings.SignInName(word, name) : TextFindings.DigitBeforeName(word),
            isValue ? [($"\"{word}\"", false), (name, false)] : DottedOf(word) is { } dotted ? [(name, false), (dotted, false)] : [(name, false)]);
        return true;

        // In a path the sign may have been typed for the dot between a unit and its socket.
        string? DottedOf(string written)
        {
            var path = written.Replace('-', '.');
            return broken.KindOf(first + 1) == TokenKind.Minus && broken.KindOf(first + 2).CanBeName() && broken.KindOf(first - 1) is TokenKind.Join or TokenKind.Comma or TokenKind.Arrow or TokenKind.Colon or TokenKind.Dot or TokenKind.Cable or TokenKind.Follow or TokenKind.Timekeeper or TokenKind.Reserve
                && broken.IsReadWith(new TextChange(broken.Reading.SpanOf(first, end), path)) ? path : null;
        }

        bool IsInWord(int token) => broken.KindOf(token) is TokenKind.Number or TokenKind.Minus or TokenKind.Plus || broken.KindOf(token).CanBeName();
    }

    private static bool IsInnerSign(TokenKind kind) => kind is TokenKind.Minus or TokenKind.Plus;

    /// <summary>A word with each sign replaced by <c>_</c>, so that it is a valid name.</summary>
    private static string NameOf(string word)
    {
        var name = new StringBuilder(word.Length + 1);
        if (char.IsAsciiDigit(word[0])) name.Append('_');
        foreach (var c in word) name.Append(c is '-' or '+' or '.' ? '_' : c);
        return name.ToString();
    }

    private static void AddWord(BrokenStatement broken, int first, int end, FindingMessage message, (string Text, bool IsSafe)[] mends)
    {
        var span = broken.Reading.SpanOf(first, end);
        broken.Add(end - 1, new TextProblem(message, span)
        {
            Mends = [.. mends.Select(m => new TextMend($"write `{m.Text}`", m.IsSafe, span, m.Text))],
        });
    }
}
