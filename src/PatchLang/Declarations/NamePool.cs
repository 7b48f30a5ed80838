using System.Runtime.InteropServices;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// Interns names: a unit's or socket's name occurs in many paths, which share one string. One table per thread, of fixed size;
/// a new name replaces the one in its place.
/// </summary>
internal static class NamePool
{
    // Indexed by twelve bits of a hash.
    private const int Size = 1 << 12;

    [ThreadStatic]
    private static string[]? recent;

    /// <summary>A name in normal form C.</summary>
    public static string Get(ReadOnlySpan<char> text)
    {
        var names = recent ??= new string[Size];
        // Numbered names differ only in their last characters, or in those before a common suffix.
        var hash = (uint)text.Length;
        foreach (var four in MemoryMarshal.Cast<char, ulong>(text)) hash = (hash ^ (uint)four ^ (uint)(four >> 29)) * 0x9E3779B1;
        for (var i = text.Length & ~3; i < text.Length; i++) hash = (hash ^ text[i]) * 0x9E3779B1;
        ref var place = ref names[hash >> 20];
        if (place is not null && text.SequenceEqual(place)) return place;
        return place = NormalForm.Compose(text);
    }
}
