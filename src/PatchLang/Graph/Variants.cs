using System.Collections;

namespace PatchLang.Graph;

/// <summary>The variants of a feed, bundle or insert, ordered by act. There is usually one, which is stored without an array.</summary>
internal readonly struct Variants : IEnumerable<FeedVariant>
{
    private readonly object? held; // null, a single variant, or an array of several

    public Variants(FeedVariant only) => held = only;

    public Variants(ReadOnlySpan<FeedVariant> variants) =>
        held = variants.Length switch { 0 => null, 1 => variants[0], _ => variants.ToArray() };

    public int Length => held is null ? 0 : held is FeedVariant ? 1 : ((FeedVariant[])held).Length;

    public FeedVariant this[int index] => held is FeedVariant only && index == 0 ? only : ((FeedVariant[])held!)[index];

    public Enumerator GetEnumerator() => new(this);

    IEnumerator<FeedVariant> IEnumerable<FeedVariant>.GetEnumerator() => GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

    public struct Enumerator(Variants variants) : IEnumerator<FeedVariant>
    {
        private readonly int count = variants.Length;
        private int at = -1;

        public readonly FeedVariant Current => variants[at];

        readonly object IEnumerator.Current => Current;

        public bool MoveNext() => ++at < count;

        public void Reset() => at = -1;

        public readonly void Dispose()
        {
        }
    }
}
