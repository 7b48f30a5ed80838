using System.Collections.Immutable;
using System.Numerics;

namespace PatchLang.Text;

/// <summary>
/// Names that others may have been meant to be, kept in such a way that very many can be looked for among very many: by their length, each
/// with the letters in it, so that most are passed over without a look at their text. Immutable.
/// </summary>
public sealed class KnownNames
{
    /// <summary>Among more names than these that could be meant by several slips nobody can say which it was.</summary>
    internal const int MostFarOff = 1_000;

    private readonly ImmutableArray<Group> groups;

    /// <summary>Keeps names.</summary>
    public KnownNames(IEnumerable<string> names) : this([new Group(names)])
    {
    }

    private KnownNames(ImmutableArray<Group> groups) => this.groups = groups;

    /// <summary>These and others.</summary>
    public KnownNames And(KnownNames others) => new(groups.AddRange(others.groups));

    /// <summary>The name that differs least from a written one, as <see cref="Nearest.To(ReadOnlySpan{char}, IEnumerable{string})"/> finds it; none where it could be any of very many.</summary>
    /// <param name="name">What is written.</param>
    /// <param name="fits">Which names may be meant; all where it is not given.</param>
    public string? NearestTo(ReadOnlySpan<char> name, Func<string, bool>? fits = null)
    {
        if (name.Length > Nearest.LongestName) return null;
        // One slip is by far the likeliest, and the least to look for.
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

    /// <summary>How many could be meant by their length and letters.</summary>
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

    // One slip brings one letter in or takes one out, or both. Large and small are one, since a name in other case is one slip off.
    private static ulong LettersOf(ReadOnlySpan<char> name)
    {
        var found = 0ul;
        foreach (var letter in name)
            if (!char.IsSurrogate(letter)) found |= 1ul << (char.ToUpperInvariant(letter) & 63);
        return found;
    }

    /// <summary>Names that are kept together.</summary>
    private sealed class Group
    {
        // Where those of a length begin.
        private readonly int[] starts = new int[Nearest.LongestKnown + 2];

        public Group(IEnumerable<string> names)
        {
            Names = [.. names.Where(n => n.Length <= Nearest.LongestKnown)];
            Array.Sort(Names, (a, b) => a.Length - b.Length);
            Letters = Array.ConvertAll(Names, n => LettersOf(n));
            foreach (var name in Names) starts[name.Length + 1]++;
            for (var i = 1; i < starts.Length; i++) starts[i] += starts[i - 1];
        }

        /// <summary>By their length.</summary>
        public string[] Names { get; }

        /// <summary>The letters of each.</summary>
        public ulong[] Letters { get; }

        /// <summary>Where names of each length stand that a written one could be, and by how many slips it may differ from those.</summary>
        public IEnumerable<(int First, int End, int Bound)> Lengths(int length, int most)
        {
            for (var its = 0; its <= Nearest.LongestKnown; its++)
                if (Math.Min(most, Nearest.MostSlips(length, its)) is var bound && Math.Abs(its - length) <= bound) yield return (starts[its], starts[its + 1], bound);
        }
    }
}
