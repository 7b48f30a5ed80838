using System.Globalization;
using System.Text;
using PatchLang.Findings;
using PatchLang.Syntax;

namespace PatchLang.Writing;

/// <summary>The smallest pieces of text, validated and as the language writes them: names, strings, numbers.</summary>
internal static class Spelt
{
    /// <summary>A name; reserved words are rejected.</summary>
    /// <exception cref="PlanWritingException">It is not a valid name.</exception>
    public static string Name(string name)
    {
        if (!NameCharacters.IsName(name))
            throw new PlanWritingException($"`{OneLine(name)}` is no name: names are letters, digits and `_`, and begin with a letter or `_`; `{PlanNames.Made(name)}` would be one");
        var kind = Words.KindOf(name);
        return kind.IsReserved() ? throw new PlanWritingException(TextFindings.Reserved(name, kind.IsOpener()).Text) : name;
    }

    /// <summary>A name with an optional prefix: <c>crew.Desk48</c>.</summary>
    public static string Reference(string name)
    {
        var parts = name.Split('.');
        if (parts.Length > 2) throw new PlanWritingException($"`{OneLine(name)}` has more than one prefix");
        foreach (var part in parts) Name(part);
        return name;
    }

    /// <summary>A string in quotes.</summary>
    /// <exception cref="PlanWritingException">It contains a line break.</exception>
    public static string Quoted(string text)
    {
        if (text.AsSpan().ContainsAny('\r', '\n')) throw new PlanWritingException($"what is in quotes is one line of text: \"{OneLine(text)}\"");
        var quoted = new StringBuilder(text.Length + 2).Append('"');
        foreach (var letter in text)
        {
            if (letter is '"' or '\\') quoted.Append('\\');
            quoted.Append(letter);
        }
        return quoted.Append('"').ToString();
    }

    /// <summary>A whole number, 1 or more.</summary>
    public static string Count(int number) =>
        number >= 1 ? number.ToString(CultureInfo.InvariantCulture) : throw new PlanWritingException($"{number} is no count: those begin with 1");

    /// <summary>A number without a sign.</summary>
    public static string Number(decimal number) => Math.Abs(number).ToString(CultureInfo.InvariantCulture);

    /// <summary>A text for use in a message: on one line, and at most 120 characters.</summary>
    public static string OneLine(string text)
    {
        var line = text.ReplaceLineEndings(" ");
        return line.Length <= 120 ? line : line[..(char.IsHighSurrogate(line[118]) ? 118 : 119)] + "\u2026";
    }
}
