using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// A hash table from names to the numbers of symbols, with open addressing and linear probing. It stores only hash and number:
/// the names themselves are in the plan's text.
/// </summary>
internal sealed class NumbersByName
{
    private Place[] places;
    private int count;

    /// <param name="capacity">The expected number of entries.</param>
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

    /// <summary>The number of a name; if it has none, stores this one and returns −1.</summary>
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

    // A search in a full table would never end, and in a nearly full one it would be slow.
    private static int MostIn(int size) => size / 5 * 4;
}
