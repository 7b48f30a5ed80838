using System.Globalization;
using System.Text;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>Reads pieces of a statement as values.</summary>
internal static class Reading
{
    /// <summary>The text of a name, in normal form C.</summary>
    public static string Name(this SyntaxNode node) => NormalForm.Compose(node.Text);

    /// <summary>The text of a string token, with the escapes <c>\"</c> and <c>\\</c> resolved.</summary>
    public static string Quoted(this StatementReading reading, int token) => Unquoted(reading.TextOf(token));

    /// <summary>The same, given the token's text.</summary>
    public static string Unquoted(ReadOnlySpan<char> text)
    {
        if (text.Length < 2) return "";
        text = text[1..^1];
        if (text.IndexOf('\\') < 0) return text.ToString();
        var unescaped = new StringBuilder(text.Length);
        for (var i = 0; i < text.Length; i++)
            unescaped.Append(text[i] == '\\' && i + 1 < text.Length ? text[++i] : text[i]);
        return unescaped.ToString();
    }

    /// <summary>The first string among a node's own tokens, or null.</summary>
    public static string? OwnQuoted(this SyntaxNode node)
    {
        var token = node.TokenOf(TokenKind.String);
        return token < 0 ? null : node.Reading.Quoted(token);
    }

    /// <summary>The value of a number token.</summary>
    public static double Number(this StatementReading reading, int token) =>
        double.TryParse(reading.TextOf(token), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value) ? value : double.NaN;

    /// <summary>The value of a number token; null if it is not whole, or too large to count anything.</summary>
    public static int? WholeNumber(this StatementReading reading, int token) =>
        int.TryParse(reading.TextOf(token), NumberStyles.None, CultureInfo.InvariantCulture, out var value) ? value : null;

    /// <summary>
    /// The count that a number token states. For an invalid one, reports it and assumes the maximum, so that nothing else seems to be missing.
    /// </summary>
    /// <param name="reading">The statement.</param>
    /// <param name="token">The number.</param>
    /// <param name="what">What is counted, as the message words it.</param>
    /// <param name="bag">Receives the finding.</param>
    public static int CountOf(this StatementReading reading, int token, string what, DraftBag bag)
    {
        if (reading.WholeNumber(token) is { } count and <= GearModelFactory.MostPerSocket) return count;
        bag.Add(NameFindings.NoCount(what, GearModelFactory.MostPerSocket), reading.AnchorOf(token));
        return GearModelFactory.MostPerSocket;
    }

    /// <summary>A quantity node as a value; null if it is broken.</summary>
    public static Quantity? AsQuantity(this SyntaxNode node)
    {
        var number = node.TokenOf(TokenKind.Number);
        var unit = node.Child(NodeKind.Measure);
        if (number < 0 || !unit.HasText) return null;
        var (measure, factor) = Quantity.UnitOf(unit.Text);
        var value = node.Reading.Number(number) * factor;
        return new Quantity(node.Has(TokenKind.Minus) ? -value : value, measure);
    }

    /// <summary>A span node (<c>32..48 kHz</c>, <c>0.4 ms</c>) as low and high value; null if it is broken.</summary>
    public static (double Low, double High, Measure Measure)? AsSpan(this SyntaxNode node)
    {
        var first = node.TokenOf(TokenKind.Number);
        var unit = node.Child(NodeKind.Measure);
        if (first < 0 || !unit.HasText) return null;
        var (measure, factor) = Quantity.UnitOf(unit.Text);
        var low = node.Reading.Number(first) * factor;
        var dots = node.TokenOf(TokenKind.Dots);
        var high = dots >= 0 && node.Reading.KindOf(dots + 1) == TokenKind.Number ? node.Reading.Number(dots + 1) * factor : low;
        return (low, high, measure);
    }
}
