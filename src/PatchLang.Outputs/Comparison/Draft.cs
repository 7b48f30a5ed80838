using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>
/// A report line before it is merged with its neighbours: a sentence with placeholders, and their values. Lines that say the same of
/// adjacent channels become one: <c>rack.mic[1..8]</c>.
/// </summary>
internal sealed class Draft
{
    private const int MostNamed = 16;
    private const int MostLookedBack = 32;

    private readonly string sentence;
    private string[] first;
    private string[] last;
    private int[]? steps;
    private readonly List<string> who = [];

    /// <param name="sentence">A format string such as "{0} takes {1}".</param>
    /// <param name="who">The signals or units concerned, listed after the sentence; null for none.</param>
    /// <param name="parts">The values of the placeholders.</param>
    public Draft(string sentence, string? who, params string[] parts)
    {
        this.sentence = sentence;
        (first, last) = (parts, parts);
        if (!string.IsNullOrEmpty(who)) this.who.Add(who);
    }

    /// <summary>What the line is about; used for sorting.</summary>
    private string Subject => first.Length > 0 ? first[0] : "";

    /// <summary>The change it comes from.</summary>
    public required PlanChange Change { get; init; }

    /// <summary>Lines of lower rank come first.</summary>
    public int Rank { get; init; }

    /// <summary>The unit at which it is done; lines of one unit are kept together.</summary>
    public string Unit { get; init; } = "";

    /// <summary>A list of names; of very many, the first few and the number of the others.</summary>
    public static string Some(List<string> names) =>
        names.Count <= MostNamed ? string.Join(", ", names) : $"{string.Join(", ", names.Take(MostNamed))} and {names.Count - MostNamed} more";

    /// <summary>Merges drafts into lines: drops repetitions, and joins runs of adjacent channels.</summary>
    public static ImmutableArray<ReportLine> Lines(IEnumerable<Draft> drafts)
    {
        var once = new Dictionary<(string, string, string, string), Draft>();
        foreach (var draft in drafts)
        {
            var key = (draft.sentence, string.Join('\n', draft.first), draft.Unit, string.Join(' ', draft.Change.Acts));
            if (once.TryGetValue(key, out var known)) known.AddWho(draft);
            else once.Add(key, draft);
        }
        // First merges adjacent channels; then those runs that differ only in an index, such as both sides of a mix.
        var runs = Merged([.. once.Values.OrderBy(d => d.Rank).ThenBy(d => d.Unit, NaturalOrder.Instance).ThenBy(d => string.Join(' ', d.Change.Acts), StringComparer.Ordinal)
            .ThenBy(d => d.sentence, StringComparer.Ordinal).ThenBy(d => d.Subject, NaturalOrder.Instance)], 1);
        foreach (var run in runs) run.Settle();
        return [.. Merged(runs, MostLookedBack).Select(d => d.ToLine())];
    }

    private static List<Draft> Merged(List<Draft> drafts, int lookBack)
    {
        var merged = new List<Draft>();
        foreach (var draft in drafts)
        {
            var isTaken = false;
            for (var i = merged.Count - 1; i >= Math.Max(0, merged.Count - lookBack) && !isTaken; i--) isTaken = merged[i].Take(draft);
            if (!isTaken) merged.Add(draft);
        }
        return merged;
    }

    /// <summary>Turns ranges into fixed words, so that a second pass can merge them.</summary>
    private void Settle()
    {
        first = last = [.. first.Select((p, i) => Range(p, last[i]))];
        steps = null;
    }

    private void AddWho(Draft other)
    {
        foreach (var each in other.who)
            if (!who.Contains(each)) who.Add(each);
    }

    /// <summary>Appends the next line if it continues this one.</summary>
    private bool Take(Draft next)
    {
        if (next.sentence != sentence || next.first.Length != first.Length || next.Unit != Unit || next.Rank != Rank || !next.Change.Acts.SequenceEqual(Change.Acts)) return false;
        var found = new List<int>();
        for (var i = 0; i < first.Length; i++)
            if (!Step(last[i], next.first[i], found)) return false;
        var isSame = found.TrueForAll(s => s == 0);
        // The whole run must count in the same way; a line without any step is a mere repetition.
        if (steps is not null && !isSame && !steps.AsSpan().SequenceEqual(found.ToArray())) return false;
        if (isSame && steps is not null) return false;
        if (!isSame) steps = [.. found];
        last = next.first;
        AddWho(next);
        return true;
    }

    private ReportLine ToLine()
    {
        var parts = first.Select((p, i) => (object)Range(p, last[i])).ToArray();
        var text = string.Format(CultureInfo.InvariantCulture, sentence, parts);
        if (who.Count > 0) text += $": {Some(who)}";
        return new ReportLine(text, Change.Acts) { OldPlace = Change.OldPlace, NewPlace = Change.NewPlace };
    }

    /// <summary>Collects the step of each counting number: 0 or 1. False if there is any other difference.</summary>
    private static bool Step(string before, string after, List<int> found)
    {
        if (before == after && !before.AsSpan().ContainsAnyInRange('0', '9')) return true;
        var (i, j) = (0, 0);
        while (i < before.Length && j < after.Length)
        {
            var (a, b) = (Number(before, i), Number(after, j));
            if (a == 0 && b == 0)
            {
                if (before[i++] != after[j++]) return false;
                continue;
            }
            if (a == 0 || b == 0 || a > 9 || b > 9) return false;
            var difference = int.Parse(after.AsSpan(j, b), CultureInfo.InvariantCulture) - int.Parse(before.AsSpan(i, a), CultureInfo.InvariantCulture);
            if (difference is not (0 or 1)) return false;
            found.Add(difference);
            (i, j) = (i + a, j + b);
        }
        return i == before.Length && j == after.Length;
    }

    /// <summary>
    /// The number of digits at a position, if they are an index: of a channel, a way of a loom, or a label in a row. Figures with units are not.
    /// </summary>
    private static int Number(string text, int at)
    {
        var length = 0;
        while (at + length < text.Length && char.IsAsciiDigit(text[at + length])) length++;
        if (length == 0 || at + length > text.Length) return 0;
        var isChannel = at > 0 && text[at - 1] == '[' && at + length < text.Length && text[at + length] == ']';
        var isWay = text.AsSpan(0, at).EndsWith("way ");
        var isLabel = at + length < text.Length && text[at + length] == '"' && at > 0 && text[at - 1] == ' ' && text.StartsWith('"');
        return isChannel || isWay || isLabel ? length : 0;
    }

    private static string Range(string first, string last)
    {
        if (first == last) return first;
        var text = new StringBuilder();
        var (i, j) = (0, 0);
        while (i < first.Length)
        {
            var (a, b) = (Number(first, i), Number(last, j));
            if (a == 0)
            {
                text.Append(first[i++]);
                j++;
                continue;
            }
            text.Append(first, i, a);
            if (!first.AsSpan(i, a).SequenceEqual(last.AsSpan(j, b))) text.Append("..").Append(last, j, b);
            (i, j) = (i + a, j + b);
        }
        return text.ToString();
    }
}
