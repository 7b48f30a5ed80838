using System.Globalization;
using System.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>Names short enough for a label: cut word by word, and still told apart on their strip.</summary>
internal static class ShortNames
{
    /// <summary>Names of at most so many letters, one for each of some titles, none of them twice unless its title is.</summary>
    public static string[] Of(IReadOnlyList<string> titles, int most)
    {
        var names = new string[titles.Count];
        var taken = new HashSet<string>(StringComparer.Ordinal);
        var nameOf = new Dictionary<string, string>(StringComparer.Ordinal);
        var nextOf = new Dictionary<string, int>(StringComparer.Ordinal); // of each name that was shortened to, the first number that may be free
        for (var i = 0; i < names.Length; i++)
        {
            if (!nameOf.TryGetValue(titles[i], out var name)) nameOf.Add(titles[i], name = NewName(titles[i]));
            names[i] = name;
        }
        return names;

        string NewName(string title)
        {
            var plain = Shorten(title, most);
            var name = plain;
            var number = nextOf.GetValueOrDefault(plain, 2);
            for (; !taken.Add(name); number++)
            {
                var ending = number.ToString(CultureInfo.InvariantCulture);
                name = Cut(plain, most - ending.Length) + ending;
            }
            nextOf[plain] = number;
            return name;
        }
    }

    /// <summary>A title with its longest words cut until it fits: <c>Backing keys</c> in 8 letters is <c>Bac keys</c>. What tells two alike apart stands last as a rule, so the front gives way first.</summary>
    private static string Shorten(string title, int most)
    {
        var words = title.Split([' ', ',', '\t', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries).Select(w => Letters(w)).ToArray();
        // Of many words no more than a letter each would be left: then the first and the last say more.
        if (words.Length > 2 && words.Length * 3 - 1 > most) words = [words[0], words[^1]];
        while (words.Sum(w => w.Length) + words.Length - 1 > most)
        {
            var longest = 0;
            for (var i = 1; i < words.Length; i++)
                if (words[i].Length > words[longest].Length) longest = i;
            if (words.Length == 0 || words[longest].Length <= 1) break;
            words[longest] = words[longest][..^1];
        }
        return Cut(string.Join(' ', words.Select(w => string.Concat(w))), most);
    }

    /// <summary>A word by what a reader takes for one letter each: an accent or an emoji is never cut in half.</summary>
    private static string[] Letters(string word)
    {
        var letters = new List<string>();
        var each = StringInfo.GetTextElementEnumerator(word);
        while (each.MoveNext()) letters.Add(each.GetTextElement());
        return [.. letters];
    }

    private static string Cut(string name, int most)
    {
        var cut = new StringBuilder();
        foreach (var letter in Letters(name).Take(most)) cut.Append(letter);
        return cut.ToString().TrimEnd();
    }
}
