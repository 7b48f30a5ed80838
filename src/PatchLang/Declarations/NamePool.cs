using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// Names that were read lately: a unit's or socket's name stands in many paths, and is one string for them all.
/// Each thread has its own. It holds a fixed number; the next name that falls on a place takes it over.
/// </summary>
internal static class NamePool
{
    private const int Size = 4096;

    [ThreadStatic]
    private static string[]? recent;

    /// <summary>A name in normal form C.</summary>
    public static string Get(ReadOnlySpan<char> text)
    {
        var names = recent ??= new string[Size];
        var hash = 0;
        foreach (var letter in text) hash = hash * 31 + letter;
        ref var place = ref names[(hash ^ hash >> 12) & (Size - 1)];
        if (place is not null && text.SequenceEqual(place)) return place;
        return place = NormalForm.Compose(text);
    }
}
