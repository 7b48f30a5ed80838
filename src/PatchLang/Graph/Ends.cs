using System.Collections;

namespace PatchLang.Graph;

/// <summary>
/// Where one element of a feed or bundle ends: a node, or several if it is a choice of alternatives, of which one sounds at a time.
/// </summary>
/// <param name="Node">The node in the signal graph; −1 if the way to it is broken.</param>
/// <param name="Others">The nodes of the other alternatives; null if there are none.</param>
/// <param name="IsAbsent">Whether the element does not exist in these acts.</param>
internal readonly record struct End(int Node, int[]? Others = null, bool IsAbsent = false)
{
    /// <summary>An end that could not be resolved.</summary>
    public static End Unknown { get; } = new(-1);

    public bool IsUnknown => Node < 0;

    /// <summary>Whether it exists and has at most one node.</summary>
    public bool IsPlain => Others is null && !IsAbsent;
}

/// <summary>The end of each element of a feed or bundle.</summary>
internal readonly struct Ends(FeedVariant variant) : IEnumerable<End>
{
    public int Length => variant.Elements.Count;

    public End this[int element] => variant.EndOf(element);

    public Enumerator GetEnumerator() => new(variant);

    IEnumerator<End> IEnumerable<End>.GetEnumerator() => GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

    public struct Enumerator(FeedVariant variant) : IEnumerator<End>
    {
        private int at = -1;

        public readonly End Current => variant.EndOf(at);

        readonly object IEnumerator.Current => Current;

        public bool MoveNext() => ++at < variant.Elements.Count;

        public void Reset() => at = -1;

        public readonly void Dispose()
        {
        }
    }
}
