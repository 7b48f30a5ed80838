namespace PatchLang.Text;

/// <summary>
/// Finds the names that may be a single slip away from another (<see cref="Nearest"/>), without looking at the rest. Names a slip apart become
/// equal when at most one letter is left out of each: so each name is filed under its own hash, and under those of what is left
/// without each of its letters. Immutable.
/// </summary>
internal sealed class SingleSlips
{
    private const ulong Factor = 0x9E37_79B9_7F4A_7C15;

    private readonly int[] starts; // of each bucket, in places
    private readonly int[] places;
    private readonly int shift;

    /// <summary>Files names, of up to <see cref="Nearest.LongestKnown"/> characters.</summary>
    public SingleSlips(string[] names)
    {
        var count = names.Sum(n => (long)n.Length + 2);
        shift = 64 - Math.Clamp(System.Numerics.BitOperations.Log2((ulong)count), 1, 26);
        starts = new int[(1 << (64 - shift)) + 1];
        Span<ulong> hashes = stackalloc ulong[Nearest.LongestKnown + 2];
        foreach (var name in names)
            foreach (var hash in HashesOf(name, hashes)) starts[(int)(hash >> shift) + 1]++;
        for (var i = 1; i < starts.Length; i++) starts[i] += starts[i - 1];
        places = new int[starts[^1]];
        var next = starts.AsSpan(..^1).ToArray();
        for (var i = 0; i < names.Length; i++)
            foreach (var hash in HashesOf(names[i], hashes)) places[next[(int)(hash >> shift)]++] = i;
    }

    /// <summary>The indices of all names that may be a single slip away from one, each once.</summary>
    public IReadOnlyCollection<int> Near(ReadOnlySpan<char> name)
    {
        var near = new HashSet<int>();
        Span<ulong> hashes = stackalloc ulong[Nearest.LongestKnown + 2];
        foreach (var hash in HashesOf(name, hashes))
        {
            var bucket = (int)(hash >> shift);
            foreach (var place in places.AsSpan(starts[bucket]..starts[bucket + 1])) near.Add(place);
        }
        return near;
    }

    /// <summary>The hashes that a name is filed under: of its letters, of those without each one, and of the whole in capitals.</summary>
    private static Span<ulong> HashesOf(ReadOnlySpan<char> name, Span<ulong> into)
    {
        // Of what lies behind a letter, from the end. Each letter is a capital by itself: so a letter left out leaves the others as they are.
        var (behind, weight) = (0ul, 1ul);
        for (var i = name.Length - 1; i >= 0; i--)
        {
            into[i] = behind;
            behind += Worth(name[i]) * weight;
            weight *= Factor;
        }
        into[name.Length] = Mixed(behind);
        // What stands before it weighs a letter less.
        var before = 0ul;
        for (var i = 0; i < name.Length; i++)
        {
            weight = Power(name.Length - 1 - i);
            into[i] = Mixed(into[i] + before * weight);
            before = before * Factor + Worth(name[i]);
        }
        // Letters outside the first plane have capitals in pairs: names in other capitals are equal as a whole.
        Span<char> capitals = stackalloc char[name.Length];
        name.ToUpperInvariant(capitals);
        var whole = 0ul;
        foreach (var letter in capitals) whole = whole * Factor + Worth(letter);
        into[name.Length + 1] = Mixed(whole);
        return into[..(name.Length + 2)];
    }

    private static readonly ulong[] Powers = PowersUpTo(Nearest.LongestKnown);

    private static ulong Power(int exponent) => Powers[exponent];

    private static ulong[] PowersUpTo(int most)
    {
        var powers = new ulong[most + 1];
        powers[0] = 1;
        for (var i = 1; i <= most; i++) powers[i] = powers[i - 1] * Factor;
        return powers;
    }

    private static ulong Worth(char letter) => char.ToUpperInvariant(letter) + 1ul;

    private static ulong Mixed(ulong hash)
    {
        hash = (hash ^ hash >> 31) * 0xBF58_476D_1CE4_E5B9;
        return hash ^ hash >> 29;
    }
}
