using System.Text;

namespace PatchLang.Outputs.Formats;

/// <summary>Makes a plan's text safe for all formats.</summary>
internal static class PlainText
{
    /// <summary>
    /// Replaces the characters that XML 1.0 forbids (section 2.2, read): control characters by visible symbols, lone surrogates by the
    /// replacement character.
    /// </summary>
    public static string ForXml(string text)
    {
        if (IsFine(text)) return text;
        var clean = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
            if (rune.Value < 0x20 && rune.Value is not ('\t' or '\n' or '\r')) clean.Append((char)(0x2400 + rune.Value));
            else if (rune.Value is 0xFFFE or 0xFFFF) clean.Append('\uFFFD');
            else clean.Append(rune.ToString());
        return clean.ToString();
    }

    private static bool IsFine(string text)
    {
        foreach (var letter in text)
            if (letter < 0x20 || letter >= 0xD800) return false;
        return true;
    }

    /// <summary>Escapes the special characters of XML and HTML, quotes included.</summary>
    public static string Escaped(string text)
    {
        text = ForXml(text);
        if (text.AsSpan().IndexOfAny("&<>\"'") < 0) return text;
        return text.Replace("&", "&amp;", StringComparison.Ordinal).Replace("<", "&lt;", StringComparison.Ordinal).Replace(">", "&gt;", StringComparison.Ordinal)
            .Replace("\"", "&quot;", StringComparison.Ordinal).Replace("'", "&#39;", StringComparison.Ordinal);
    }
}
