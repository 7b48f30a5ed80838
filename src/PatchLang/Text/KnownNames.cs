using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Numerics;

namespace PatchLang.Text;

/// <summary>
/// An index of names for spelling suggestions, fast even if many names are looked up among many: names of the same length and the same
/// set of letters lie together, so that most are ruled out without being looked at; once many are asked for, those a single slip away are
/// found by hash (<see cref="SingleSlips"/>). Immutable.
/// </summary>
public sealed class KnownNames
{
    /// <summary>If more names than this are within reach of several slips, no suggestion is made: it would be arbitrary.</summary>
    internal const int MostFarOff = 1_000;

    /// <summary>The most names that each misspelt one is compared with in search of several slips: every name of a large plan may be misspelt.</summary>
    internal const int MostCompared = 10_000;

    private readonly ImmutableArray<Group> groups;
    private long lookedAt;

    // One unknown name often stands at many places: every feed of a unit that is gone.
    private readonly ConcurrentDictionary<string, string?> nearest = new();

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
        if (fits is not null) return Search(name, fits);
        var answers = nearest.GetAlternateLookup<ReadOnlySpan<char>>();
        if (answers.TryGetValue(name, out var answer)) return answer;
        answers[name] = answer = Search(name, null);
        return answer;
    }

    private string? Search(ReadOnlySpan<char> name, Func<string, bool>? fits)
    {
        // A single slip is by far the likeliest, and the cheapest to search for.
        return Search(name, 1, fits) ?? (IsFarOffDue(name) ? Search(name, int.MaxValue, fits) : null);
    }

    /// <summary>The number of names that were looked at, in all searches.</summary>
    internal long LookedAt => lookedAt;

    private string? Search(ReadOnlySpan<char> name, int most, Func<string, bool>? fits)
    {
        var search = new Nearest.Search(name, most, fits);
        var written = LettersOf(name);
        foreach (var group in groups)
        {
            if (most == 1 && group.SingleSlips is { } slips)
            {
                var places = slips.Near(name);
                Interlocked.Add(ref lookedAt, places.Count);
                foreach (var place in places) search.Try(group.NameAt(place));
                continue;
            }
            foreach (var (first, end, bound) in group.Lengths(name.Length, most))
            {
                Interlocked.Add(ref lookedAt, end - first);
                for (var set = first; set < end; set++)
                    if (BitOperations.PopCount(written ^ group.Letters[set]) <= 2 * bound)
                        foreach (var known in group.NamesOf(set)) search.Try(known);
            }
        }
        return search.Best;
    }

    /// <summary>Whether a search for several slips is worth it: few names are within reach by their lengths, and fewer by their letters.</summary>
    private bool IsFarOffDue(ReadOnlySpan<char> name)
    {
        var length = name.Length;
        if (groups.Sum(g => g.CountOf(length)) > MostCompared) return false;
        var count = 0;
        var written = LettersOf(name);
        foreach (var group in groups)
            foreach (var (first, end, bound) in group.Lengths(length, int.MaxValue))
            {
                Interlocked.Add(ref lookedAt, end - first);
                for (var set = first; set < end && count <= MostFarOff; set++)
                    if (BitOperations.PopCount(written ^ group.Letters[set]) <= 2 * bound) count += group.NamesOf(set).Length;
            }
        return count <= MostFarOff;
    }

    // One slip adds a letter, removes one, or both, so it changes at most two bits. Case is ignored, since a difference in case is at most one slip.
    private static ulong LettersOf(ReadOnlySpan<char> name)
    {
        var letters = 0ul;
        foreach (var letter in name)
            if (!char.IsSurrogate(letter)) letters |= 1ul << (char.ToUpperInvariant(letter) & 63);
        return letters;
    }

    /// <summary>Names that were indexed together.</summary>
    private sealed class Group
    {
        private const int ManySearches = 32; // from so many on, the index for single slips is worth building

        // Sorted by length, then by letters.
        private readonly string[] names;

        // The index of each set's first name.
        private readonly int[] firsts;

        private int searches;
        private SingleSlips? singleSlips;

        // The index of the first set of each length.
        private readonly int[] starts = new int[Nearest.LongestKnown + 2];

        public Group(IEnumerable<string> names)
        {
            this.names = [.. names.Where(n => n.Length <= Nearest.LongestKnown)];
            Array.Sort(Array.ConvertAll(this.names, n => (n.Length, LettersOf(n))), this.names);
            var sets = new List<ulong>();
            var places = new List<int>();
            for (var i = 0; i < this.names.Length; i++)
            {
                var its = LettersOf(this.names[i]);
                if (i > 0 && its == sets[^1] && this.names[i].Length == this.names[i - 1].Length) continue;
                sets.Add(its);
                places.Add(i);
                starts[this.names[i].Length + 1]++;
            }
            for (var i = 1; i < starts.Length; i++) starts[i] += starts[i - 1];
            Letters = [.. sets];
            firsts = [.. places, this.names.Length];
        }

        /// <summary>The sets of letters that names of one length have, as bit sets, sorted by that length.</summary>
        public ulong[] Letters { get; }

        /// <summary>The index for single slips, if enough names were searched for; asking counts as a search.</summary>
        public SingleSlips? SingleSlips => singleSlips
            ?? (names.Length > MostFarOff && Interlocked.Increment(ref searches) > ManySearches
                ? LazyInitializer.EnsureInitialized(ref singleSlips, () => new SingleSlips(names)) : null);

        /// <summary>The names with one length and one set of letters.</summary>
        public ReadOnlySpan<string> NamesOf(int set) => names.AsSpan(firsts[set]..firsts[set + 1]);

        /// <summary>The number of names that a written one could be by their lengths.</summary>
        public int CountOf(int length) => Lengths(length, int.MaxValue).Sum(r => firsts[r.End] - firsts[r.First]);

        /// <summary>The name at a place of <see cref="SingleSlips"/>.</summary>
        public string NameAt(int place) => names[place];

        /// <summary>The ranges of sets, one per length, whose names a written one could be, each with the most slips allowed.</summary>
        public IEnumerable<(int First, int End, int Bound)> Lengths(int length, int most)
        {
            for (var its = 0; its <= Nearest.LongestKnown; its++)
                if (Math.Min(most, Nearest.MostSlips(length, its)) is var bound && Math.Abs(its - length) <= bound) yield return (starts[its], starts[its + 1], bound);
        }
    }
}
