using System.Runtime.InteropServices;

namespace PatchLang.Syntax;

/// <summary>
/// The shapes that were ever seen: statements whose tokens are of the same kinds share one. Safe for threads.
/// </summary>
/// <remarks>
/// Shapes are held fast until they come to a number of bytes, and only weakly from then on, so that
/// those that no tree uses any more can go. What does not fit even so is parsed each time it is met.
/// </remarks>
internal sealed class ShapeCache(int capacity = ShapeCache.UsualCapacity)
{
    private const int UsualCapacity = 32 << 20;

    private const int Readers = 8;

    private readonly Lock gate = new();

    // Several, so that threads need not wait for each other; which one reads a shape hangs on the shape, so that none is read twice at once.
    private readonly Reader[] readers = [.. Enumerable.Range(0, Readers).Select(_ => new Reader())];
    private Entry?[] buckets = new Entry?[256];
    private int count;
    private long bytes;
    private int collectionsAtSweep = -1;

    /// <summary>The cache that all trees share.</summary>
    public static ShapeCache Shared { get; } = new();

    /// <summary>How many shapes the generated parser has read.</summary>
    public int ParserRuns { get; private set; }

    /// <summary>About how much memory the shapes take.</summary>
    public long Bytes => bytes;

    /// <summary>The shape of a statement.</summary>
    public Shape ShapeOf(ReadOnlySpan<TokenKind> kinds)
    {
        if (kinds.Length > Statement.MostTokens) return Shape.TooLong;
        var hash = HashOf(kinds);
        if (Known(kinds, hash) is { } known) return known;
        var reader = readers[(uint)hash % Readers];
        lock (reader.Gate)
        {
            if (Known(kinds, hash) is { } meanwhile) return meanwhile;
            var shape = reader.Parser.Parse(kinds);
            lock (gate)
            {
                ParserRuns++;
                if (HasRoomFor(shape)) Add(new Entry(hash, shape));
            }
            return shape;
        }
    }

    private Shape? Known(ReadOnlySpan<TokenKind> kinds, int hash)
    {
        lock (gate)
        {
            for (var entry = buckets[hash & (buckets.Length - 1)]; entry is not null; entry = entry.Next)
                if (entry.Hash == hash && entry.Find(kinds) is { } known) return known;
            return null;
        }
    }

    private void Add(Entry entry)
    {
        if (count >= buckets.Length) Resize();
        ref var bucket = ref buckets[entry.Hash & (buckets.Length - 1)];
        entry.Next = bucket;
        bucket = entry;
        count++;
        bytes += entry.Bytes;
    }

    private bool HasRoomFor(Shape shape)
    {
        if (bytes + Entry.BytesOf(shape) <= capacity) return true;
        // Nothing can have gone since the last sweep unless the garbage was collected in between.
        var collections = GC.CollectionCount(0);
        if (collections == collectionsAtSweep) return false;
        collectionsAtSweep = collections;
        Sweep();
        return bytes + Entry.BytesOf(shape) <= capacity;
    }

    private void Sweep()
    {
        for (var i = 0; i < buckets.Length; i++)
        {
            var entry = buckets[i];
            buckets[i] = null;
            while (entry is not null)
            {
                var next = entry.Next;
                if (entry.Loosen())
                {
                    entry.Next = buckets[i];
                    buckets[i] = entry;
                }
                else
                {
                    count--;
                    bytes -= entry.Bytes;
                }
                entry = next;
            }
        }
    }

    private void Resize()
    {
        var old = buckets;
        buckets = new Entry?[old.Length * 2];
        foreach (var first in old)
            for (var entry = first; entry is not null;)
            {
                var next = entry.Next;
                ref var bucket = ref buckets[entry.Hash & (buckets.Length - 1)];
                entry.Next = bucket;
                bucket = entry;
                entry = next;
            }
    }

    // The platform's hash of texts has a secret of its own in each process, so no plan can be written to collide.
    private static int HashOf(ReadOnlySpan<TokenKind> kinds)
    {
        var letters = MemoryMarshal.AsBytes(kinds);
        var hash = string.GetHashCode(MemoryMarshal.Cast<byte, char>(letters), StringComparison.Ordinal);
        return (letters.Length & 1) == 0 ? hash : hash * 31 + letters[^1];
    }

    /// <summary>A parser, for one thread at a time.</summary>
    private sealed class Reader
    {
        public Lock Gate { get; } = new();

        public ShapeParser Parser { get; } = new();
    }

    private sealed class Entry(int hash, Shape shape)
    {
        private Shape? held = shape;
        private WeakReference<Shape>? loose;

        public int Hash { get; } = hash;

        public int Bytes { get; } = BytesOf(shape);

        public Entry? Next { get; set; }

        public static int BytesOf(Shape shape) => 200 + shape.Tokens.Length + shape.Nodes.Length * 16 + shape.Errors.Length * 100;

        public Shape? Find(ReadOnlySpan<TokenKind> kinds)
        {
            var present = held;
            if (present is null && (loose is null || !loose.TryGetTarget(out present))) return null;
            return MemoryMarshal.AsBytes(present.Tokens.AsSpan()).SequenceEqual(MemoryMarshal.AsBytes(kinds)) ? present : null;
        }

        /// <summary>Holds the shape weakly from now on. False if it is gone already.</summary>
        public bool Loosen()
        {
            if (held is null) return loose!.TryGetTarget(out _);
            loose = new WeakReference<Shape>(held);
            held = null;
            return true;
        }
    }
}
