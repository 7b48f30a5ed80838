using System.Runtime.InteropServices;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// Names that were read lately: a unit's or socket's name stands in many paths, and is one string for them all.
/// Each thread has its own. It holds a fixed number; the next name that falls on a place takes it over.
/// </summary>
internal static class NamePool
{
    // The places that twelve bits of a hash tell apart.
    private const int Size = 1 << 12;

    [ThreadStatic]
    private static string[]? recent;

    /// <summary>A name in normal form C.</summary>
    public static string Get(ReadOnlySpan<char> text)
    {
        var names = recent ??= new string[Size];
        // Names that go by numbers differ in their last letters, or in those before a common ending.
        var hash = (uint)text.Length;
        foreach (var four in MemoryMarshal.Cast<char, ulong>(text)) hash = (hash ^ (uint)four ^ (uint)(four >> 29)) * 0x9E3779B1;
        for (var i = text.Length & ~3; i < text.Length; i++) hash = (hash ^ text[i]) * 0x9E3779B1;
        ref var place = ref names[hash >> 20];
        if (place is not null && text.SequenceEqual(place)) return place;
        return place = NormalForm.Compose(text);
    }
}
