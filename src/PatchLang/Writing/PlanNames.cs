using System.Globalization;
using System.Text;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>Turns arbitrary text into unique names for a plan.</summary>
/// <example><c>Mara O'Neill</c> becomes <c>mara_o_neill</c>, and the next with that name <c>mara_o_neill_2</c>.</example>
public sealed class PlanNames
{
    private readonly HashSet<string> given = new(StringComparer.Ordinal);

    /// <summary>A name that was not returned before.</summary>
    /// <param name="text">Any text. Characters that can't be in a name are replaced by <c>_</c>.</param>
    public string Next(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var name = Made(text);
        for (var number = 2; !given.Add(NormalForm.Compose(name)); number++) name = $"{Made(text)}_{number.ToString(CultureInfo.InvariantCulture)}";
        return name;
    }

    /// <summary>The name for a text: lower case, with <c>_</c> between words.</summary>
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
        // A name can't begin with a digit or a combining mark, nor be a reserved word.
        return NameCharacters.IsName(made) && !Words.KindOf(made).IsReserved() ? made : made.Length == 0 ? "x" : $"x_{made}";
    }
}
