using System.Collections.Immutable;
using System.Numerics;

namespace PatchLang.Text;

/// <summary>
/// An index of names for spelling suggestions, fast even if many names are looked up among many: names are sorted by length, each with
/// a bit set of its letters, so that most are ruled out without comparing texts. Immutable.
/// </summary>
public sealed class KnownNames
{
    /// <summary>If more names than this are within reach of several slips, no suggestion is made: it would be arbitrary.</summary>
    internal const int MostFarOff = 1_000;

    private readonly ImmutableArray<Group> groups;

    /// <summary>Indexes names.</summary>
    public KnownNames(IEnumerable<string> names) : this([new Group(names)])
    {
    }

    private KnownNames(ImmutableArray<Group> groups) => this.groups = groups;

    /// <summary>The union of two indexes.</summary>
    public KnownNames And(KnownNames others) => new(groups.AddRange(others.groups));

    /// <summary>
    /// The name nearest to a written one, as <see cref="Nearest.To(ReadOnlySpan{char}, IEnumerable{string})"/> finds it; null if there is none,
    /// or if there are too many candidates.
    /// </summary>
    /// <param name="name">The name as written.</param>
    /// <param name="fits">Which names are acceptable; all if not given.</param>
    public string? NearestTo(ReadOnlySpan<char> name, Func<string, bool>? fits = null)
    {
        if (name.Length > Nearest.LongestName) return null;
        // A single slip is by far the likeliest, and the cheapest to search for.
        return Search(name, 1, fits) ?? (Likely(name, int.MaxValue) > MostFarOff ? null : Search(name, int.MaxValue, fits));
    }

    private string? Search(ReadOnlySpan<char> name, int most, Func<string, bool>? fits)
    {
        var search = new Nearest.Search(name, most, fits);
        var written = LettersOf(name);
        foreach (var group in groups)
            foreach (var (first, end, bound) in group.Lengths(name.Length, most))
                for (var i = first; i < end; i++)
                    if (BitOperations.PopCount(written ^ group.Letters[i]) <= 2 * bound) search.Try(group.Names[i]);
        return search.Best;
    }

    /// <summary>The number of names that length and letters do not rule out.</summary>
    private int Likely(ReadOnlySpan<char> name, int most)
    {
        var count = 0;
        var written = LettersOf(name);
        foreach (var group in groups)
            foreach (var (first, end, bound) in group.Lengths(name.Length, most))
                foreach (var its in group.Letters.AsSpan(first..end))
                    if (BitOperations.PopCount(written ^ its) <= 2 * bound) count++;
        return count;
    }

    // One slip adds a letter, removes one, or both, so it changes at most two bits. Case is ignored, since a difference in case is at most one slip.
    private static ulong LettersOf(ReadOnlySpan<char> name)
    {
        var found = 0ul;
        foreach (var letter in name)
            if (!char.IsSurrogate(letter)) found |= 1ul << (char.ToUpperInvariant(letter) & 63);
        return found;
    }

    /// <summary>Names that were indexed together.</summary>
    private sealed class Group
    {
        // The index of the first name of each length.
        private readonly int[] starts = new int[Nearest.LongestKnown + 2];

        public Group(IEnumerable<string> names)
        {
            Names = [.. names.Where(n => n.Length <= Nearest.LongestKnown)];
            Array.Sort(Names, (a, b) => a.Length - b.Length);
            Letters = Array.ConvertAll(Names, n => LettersOf(n));
            foreach (var name in Names) starts[name.Length + 1]++;
            for (var i = 1; i < starts.Length; i++) starts[i] += starts[i - 1];
        }

        /// <summary>Sorted by length.</summary>
        public string[] Names { get; }

        /// <summary>The letters of each, as a bit set.</summary>
        public ulong[] Letters { get; }

        /// <summary>The ranges of names, one per length, that a written name could be, each with the most slips allowed.</summary>
        public IEnumerable<(int First, int End, int Bound)> Lengths(int length, int most)
        {
            for (var its = 0; its <= Nearest.LongestKnown; its++)
                if (Math.Min(most, Nearest.MostSlips(length, its)) is var bound && Math.Abs(its - length) <= bound) yield return (starts[its], starts[its + 1], bound);
        }
    }
}
