using System.Text;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>Facts that are the plan's own text: acts, title, promises, and its own declarations.</summary>
internal static class Written
{
    public static void Add(PlanSide side, FactTable facts)
    {
        var all = side.Slots(side.Rig.AllActs);
        AddActs(side, all, facts);
        var promises = new Dictionary<string, (int Count, Place Place)>(StringComparer.Ordinal);
        foreach (var tree in side.Plan.Trees)
        {
            if (tree.Source.IsLibrary) continue;
            for (var i = 0; i < tree.Count; i++)
            {
                var (statement, place) = (tree[i], new Place(tree.Source, new TextSpan(tree.StartOf(i), OpenerOf(tree[i]))));
                switch (statement.Kind)
                {
                    case NodeKind.Rig when side.Plan.Title is { } title:
                        facts.Add(ChangeKind.Label, "the plan", "plan", title, all, () => place);
                        break;
                    case NodeKind.Expect or NodeKind.Allow:
                        var promise = Words(side, statement.Text.Span);
                        promises[promise] = promises.TryGetValue(promise, out var known) ? (known.Count + 1, known.Place) : (1, place);
                        break;
                    case NodeKind.Gear or NodeKind.Card or NodeKind.Format:
                        var words = Words(side, statement.Text.Span);
                        facts.Add(ChangeKind.Declaration, NameIn(words), "", words, all, () => place);
                        break;
                }
            }
        }
        foreach (var (promise, (count, place)) in promises)
            facts.Add(ChangeKind.Promise, promise, "", count == 1 ? "said" : $"said {count} times", all, () => place);
    }

    private static void AddActs(PlanSide side, UInt128 all, FactTable facts)
    {
        foreach (var act in side.Plan.Acts)
        {
            var name = side.Renamed.GetValueOrDefault(("act", act.Name), act.Name);
            facts.Add(ChangeKind.Act, name, "", act.Label ?? "no label", all, Where);
            if (act.After is { } after) facts.Add(ChangeKind.Act, name, "comes after", side.Renamed.GetValueOrDefault(("act", after.Name), after.Name), all, Where);

            Place Where() => side.Plan.PlaceOf(act);
        }
    }

    private static int OpenerOf(Statement statement)
    {
        var length = 0;
        while (length < statement.Text.Length && char.IsLetter(statement.Text.Span[length])) length++;
        return length;
    }

    /// <summary>The name of what is declared, such as <c>gear StageRack</c>.</summary>
    private static string NameIn(string words)
    {
        var second = words.IndexOf(' ') + 1;
        var end = second;
        while (end < words.Length && (char.IsLetterOrDigit(words[end]) || words[end] == '_')) end++;
        return words[..end];
    }

    /// <summary>
    /// A statement without comments and with normalized spaces, so that layout makes no difference. Names are those of the new plan.
    /// </summary>
    private static string Words(PlanSide side, ReadOnlySpan<char> text)
    {
        var words = new StringBuilder(text.Length);
        for (var i = 0; i < text.Length;)
        {
            if (char.IsWhiteSpace(text[i]) || Comment(text[i..]) > 0)
            {
                i += Math.Max(1, Comment(text[i..]));
                continue;
            }
            var length = text[i] == '"' ? Quoted(text[i..]) : IsWord(text[i]) ? Word(text[i..]) : 1;
            var word = text.Slice(i, length).ToString();
            if (side.Renamed.Count > 0 && IsWord(word[0]) && (i == 0 || text[i - 1] != '.')) word = Renamed(side, word);
            if (words.Length > 0 && NeedsSpace(words[^1], word[0])) words.Append(' ');
            words.Append(word);
            i += length;
        }
        return words.ToString();
    }

    /// <summary>Whether two tokens are separated by a space in the normalized text.</summary>
    private static bool NeedsSpace(char before, char after) =>
        before is ',' or '{' or '=' or '>' or ':' ? after is not ('=' or '>' or '}')
        : (IsWord(before) || before is '"' or ']' or ')' or '}') && (IsWord(after) || after is '"' or '{' or '}' or '+' or '-' or '<' or '>' or '=' or ':');

    public static string Renamed(PlanSide side, string word)
    {
        foreach (var sort in (ReadOnlySpan<string>)["unit", "feed", "network", "loom", "act"])
            if (side.Renamed.TryGetValue((sort, word), out var now)) return now;
        return word;
    }

    public static bool IsWord(char letter) => char.IsLetterOrDigit(letter) || letter == '_' || char.IsSurrogate(letter) || char.GetUnicodeCategory(letter) is System.Globalization.UnicodeCategory.NonSpacingMark or System.Globalization.UnicodeCategory.SpacingCombiningMark;

    private static int Word(ReadOnlySpan<char> text)
    {
        // A number ends where its unit begins, whether or not there is a space.
        var isNumber = char.IsAsciiDigit(text[0]);
        var length = 1;
        while (length < text.Length && (isNumber ? char.IsAsciiDigit(text[length]) : IsWord(text[length]))) length++;
        return length;
    }

    private static int Quoted(ReadOnlySpan<char> text)
    {
        var end = text[1..].IndexOfAny("\"\n");
        return end < 0 ? text.Length : end + 2;
    }

    private static int Comment(ReadOnlySpan<char> text)
    {
        if (text.StartsWith("//")) return text.IndexOfAny("\r\n") is >= 0 and var line ? line : text.Length;
        if (text.StartsWith("/*")) return text[2..].IndexOf("*/") is >= 0 and var end ? end + 4 : text.Length;
        return 0;
    }
}
