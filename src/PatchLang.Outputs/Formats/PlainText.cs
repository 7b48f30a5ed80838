using System.Text;

namespace PatchLang.Outputs.Formats;

/// <summary>Texts of a plan as every format can hold them.</summary>
internal static class PlainText
{
    /// <summary>The text without characters that XML 1.0 forbids (section 2.2, read): controls become their pictures, halves of pairs the replacement character.</summary>
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

    /// <summary>The text with the characters that mean something to XML and HTML written as such, inside quotes too.</summary>
    public static string Escaped(string text)
    {
        text = ForXml(text);
        if (text.AsSpan().IndexOfAny("&<>\"'") < 0) return text;
        return text.Replace("&", "&amp;", StringComparison.Ordinal).Replace("<", "&lt;", StringComparison.Ordinal).Replace(">", "&gt;", StringComparison.Ordinal)
            .Replace("\"", "&quot;", StringComparison.Ordinal).Replace("'", "&#39;", StringComparison.Ordinal);
    }
}
