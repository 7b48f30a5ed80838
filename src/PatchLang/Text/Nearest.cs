using System.Globalization;

namespace PatchLang.Text;

/// <summary>Finds the name that a misspelt one was probably meant to be.</summary>
public static class Nearest
{
    internal const int LongestName = 100; // nobody misspells a longer one by accident; bounds the work and the stack

    /// <summary>The length beyond which a candidate can't be near to any name that is looked up.</summary>
    internal const int LongestKnown = LongestName * 3 / 2;

    /// <summary>
    /// The candidate with the fewest edits, if these are no more than a third of the longer name's length (at least one); else null.
    /// </summary>
    public static string? To(ReadOnlySpan<char> name, IEnumerable<string> candidates)
    {
        if (name.Length > LongestName) return null;
        var search = new Search(name, int.MaxValue);
        foreach (var candidate in candidates) search.Try(candidate);
        return search.Best;
    }

    /// <summary>The most edits by which names of two lengths count as near to each other.</summary>
    internal static int MostSlips(int length, int other) => Math.Max(1, Math.Max(length, other) / 3);

    /// <summary>A search for one name among candidates given one by one.</summary>
    internal ref struct Search(ReadOnlySpan<char> name, int most, Func<string, bool>? fits = null)
    {
        private readonly ReadOnlySpan<char> name = name;
        private int least = most;

        public string? Best { get; private set; }

        public void Try(string candidate)
        {
            // Candidates further away than the best so far need no exact distance.
            var bound = Math.Min(least, MostSlips(name.Length, candidate.Length));
            if (Math.Abs(candidate.Length - name.Length) > bound) return;
            var distance = Distance(name, candidate, bound);
            if (distance > bound || distance == 0) return;
            if (Best is not null && distance == least && !IsLikelier(name, candidate, Best)) return;
            if (fits is not null && !fits(candidate)) return;
            Best = candidate;
            least = distance;
        }
    }

    /// <summary>
    /// Whether two names have the same digits. Digits tell names apart (<c>tom1</c>,
    /// <c>tom2</c>), so a name with others is never certainly the one meant.
    /// </summary>
    public static bool HasSameDigits(string name, string other) => name.Where(char.IsDigit).SequenceEqual(other.Where(char.IsDigit));

    /// <summary>
    /// Breaks a tie: a name with the same letters (two of them swapped) is likelier than one with another letter, then one that differs in a
    /// number alone, by as little as possible. Otherwise the alphabet decides, since the answer must not depend on the order of statements.
    /// </summary>
    private static bool IsLikelier(ReadOnlySpan<char> name, string one, string other)
    {
        var (first, second) = (HasSameLetters(name, one), HasSameLetters(name, other));
        if (first != second) return first;
        var (near, far) = (NumberGap(name, one), NumberGap(name, other));
        return near == far ? string.CompareOrdinal(one, other) < 0 : near < far;
    }

    /// <summary>By how much two names differ that are the same but for the number they end with; the largest number for all others.</summary>
    private static long NumberGap(ReadOnlySpan<char> name, string other)
    {
        var stem = name.TrimEnd("0123456789");
        var its = other.AsSpan().TrimEnd("0123456789");
        return stem.SequenceEqual(its) && int.TryParse(name[stem.Length..], CultureInfo.InvariantCulture, out var number) && int.TryParse(other.AsSpan(its.Length), CultureInfo.InvariantCulture, out var known)
            ? Math.Abs((long)number - known)
            : long.MaxValue;
    }

    private static bool HasSameLetters(ReadOnlySpan<char> name, string other) =>
        name.Length == other.Length && name.ToArray().Order().SequenceEqual(other.Order());

    /// <summary>
    /// The edit distance (insertions, deletions, substitutions and swaps of neighbours; optimal string alignment) if it is at most
    /// <paramref name="most"/>; else any larger number. Names that differ only in letter case have distance 1.
    /// </summary>
    private static int Distance(ReadOnlySpan<char> from, ReadOnlySpan<char> to, int most)
    {
        if (from.Length == to.Length && from.Equals(to, StringComparison.OrdinalIgnoreCase)) return from.SequenceEqual(to) ? 0 : 1;
        // Names in a plan often share a prefix and a suffix.
        var same = from.CommonPrefixLength(to);
        from = from[same..];
        to = to[same..];
        var tail = 0;
        while (tail < Math.Min(from.Length, to.Length) && from[^(tail + 1)] == to[^(tail + 1)]) tail++;
        from = from[..^tail];
        to = to[..^tail];
        if (from.IsEmpty || to.IsEmpty) return from.Length + to.Length;
        // Within one edit it can only be one substitution or one swap.
        if (most == 1)
            return from.Length == 1 && to.Length == 1 ? 1
                : from.Length == 2 && to.Length == 2 && from[0] == to[1] && from[1] == to[0] ? 1 : 2;
        Span<int> beforeLast = stackalloc int[to.Length + 1];
        Span<int> last = stackalloc int[to.Length + 1];
        Span<int> current = stackalloc int[to.Length + 1];
        for (var j = 0; j <= to.Length; j++) last[j] = j;
        for (var i = 1; i <= from.Length; i++)
        {
            // Cells outside this band exceed the limit; those of a row that are not computed must not look nearer.
            var (first, end) = (Math.Max(1, i - most), Math.Min(to.Length, i + most));
            current.Fill(most + 1);
            current[0] = i;
            var nearest = first == 1 ? i : most + 1;
            for (var j = first; j <= end; j++)
            {
                var cost = from[i - 1] == to[j - 1] ? 0 : 1;
                current[j] = Math.Min(Math.Min(current[j - 1], last[j]) + 1, last[j - 1] + cost);
                if (i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1])
                    current[j] = Math.Min(current[j], beforeLast[j - 2] + 1);
                nearest = Math.Min(nearest, current[j]);
            }
            if (nearest > most) return nearest;
            var spare = beforeLast;
            beforeLast = last;
            last = current;
            current = spare;
        }
        return last[to.Length];
    }
}
