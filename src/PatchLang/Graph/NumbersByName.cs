using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// Numbers of symbols, found by their names. The names stand in the plan's text: here is only the hash of each, with the number,
/// in the first free place behind the one that the hash falls on.
/// </summary>
internal sealed class NumbersByName
{
    private Place[] places;
    private int count;

    /// <param name="capacity">How many numbers there will be, as far as that is known.</param>
    public NumbersByName(int capacity) => places = new Place[SizeFor(capacity)];

    private readonly record struct Place(int Hash, int NumberAndOne)
    {
        public bool IsFree => NumberAndOne == 0;

        public int Number => NumberAndOne - 1;
    }

    /// <summary>The number of a name; −1 if it has none.</summary>
    /// <param name="name">The name, in normal form C.</param>
    /// <param name="symbols">The symbols by their numbers.</param>
    public int Find(ReadOnlySpan<char> name, Symbol[] symbols)
    {
        ref readonly var place = ref PlaceOf(name, string.GetHashCode(name, StringComparison.Ordinal), symbols);
        return place.Number;
    }

    /// <summary>The number that a name has; −1 if it had none and takes this one.</summary>
    public int FindOrAdd(ReadOnlySpan<char> name, int number, Symbol[] symbols)
    {
        if (count >= MostIn(places.Length)) Grow();
        var hash = string.GetHashCode(name, StringComparison.Ordinal);
        ref var place = ref PlaceOf(name, hash, symbols);
        if (!place.IsFree) return place.Number;
        place = new Place(hash, number + 1);
        count++;
        return -1;
    }

    private ref Place PlaceOf(ReadOnlySpan<char> name, int hash, Symbol[] symbols)
    {
        var at = hash & (places.Length - 1);
        while (!places[at].IsFree && !(places[at].Hash == hash && symbols[places[at].Number].NameText.SequenceEqual(name))) at = (at + 1) & (places.Length - 1);
        return ref places[at];
    }

    private void Grow()
    {
        var old = places;
        places = new Place[2 * old.Length];
        foreach (var place in old)
        {
            if (place.IsFree) continue;
            var at = place.Hash & (places.Length - 1);
            while (!places[at].IsFree) at = (at + 1) & (places.Length - 1);
            places[at] = place;
        }
    }

    private static int SizeFor(int capacity)
    {
        var size = 8;
        while (MostIn(size) < capacity) size *= 2;
        return size;
    }

    // Full, a search would go on for ever, and nearly full for long.
    private static int MostIn(int size) => size / 5 * 4;
}
