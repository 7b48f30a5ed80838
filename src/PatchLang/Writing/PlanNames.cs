using System.Globalization;
using System.Text;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>Makes names for a plan out of what people call things, and gives none twice.</summary>
/// <example><c>Mara O'Neill</c> is <c>mara_o_neill</c>, and the next of that name <c>mara_o_neill_2</c>.</example>
public sealed class PlanNames
{
    private readonly HashSet<string> given = new(StringComparer.Ordinal);

    /// <summary>A name that was not given before.</summary>
    /// <param name="text">Whatever people call it. What can't stand in a name is left out, and parts it.</param>
    public string Next(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var name = Made(text);
        for (var number = 2; !given.Add(NormalForm.Compose(name)); number++) name = $"{Made(text)}_{number.ToString(CultureInfo.InvariantCulture)}";
        return name;
    }

    /// <summary>The name that a text gives: in small letters, with <c>_</c> between its words.</summary>
    internal static string Made(string text)
    {
        var name = new StringBuilder();
        for (var at = 0; at < text.Length;)
        {
            var letter = NameCharacters.At(text, at, out var length);
            if (NameCharacters.CanFollow(letter) && letter != '_') name.Append(text.AsSpan(at, length));
            else if (name.Length > 0 && name[^1] != '_') name.Append('_');
            at += length;
        }
        var made = name.ToString().TrimEnd('_').ToLowerInvariant();
        // What begins with a figure or a mark is no name, and neither is a word that opens something.
        return NameCharacters.IsName(made) && !Words.KindOf(made).IsReserved() ? made : made.Length == 0 ? "x" : $"x_{made}";
    }
}
