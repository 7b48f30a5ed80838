using System.Globalization;
using System.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>Names short enough for a label: shortened word by word, yet distinct within their strip.</summary>
internal static class ShortNames
{
    /// <summary>A name of at most this many letters for each title; names are unique unless their titles are the same.</summary>
    public static string[] Of(IReadOnlyList<string> titles, int most)
    {
        var names = new string[titles.Count];
        var taken = new HashSet<string>(StringComparer.Ordinal);
        var nameOf = new Dictionary<string, string>(StringComparer.Ordinal);
        var nextOf = new Dictionary<string, int>(StringComparer.Ordinal); // per shortened name, the next number that may be free
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

    /// <summary>
    /// Shortens the longest words of a title until it fits: <c>Backing keys</c> in 8 letters is <c>Bac keys</c>. Similar titles usually
    /// differ at the end, so the front is shortened first.
    /// </summary>
    private static string Shorten(string title, int most)
    {
        var words = title.Split([' ', ',', '\t', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries).Select(w => Letters(w)).ToArray();
        // Of many words, only a letter each would remain: the first and the last word say more.
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

    /// <summary>The grapheme clusters of a word, so that accents and emoji are never split.</summary>
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
