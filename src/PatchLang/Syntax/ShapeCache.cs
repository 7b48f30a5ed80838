using System.Runtime.InteropServices;

namespace PatchLang.Syntax;

/// <summary>
/// Interns shapes: statements with the same sequence of token kinds share one. Thread-safe.
/// </summary>
/// <remarks>
/// Shapes are held strongly up to a number of bytes, and weakly beyond it, so that those that no tree uses any more can be
/// collected. A shape that does not fit even then is parsed each time it is met.
/// </remarks>
internal sealed class ShapeCache(int capacity = ShapeCache.UsualCapacity)
{
    private const int UsualCapacity = 32 << 20;

    private const int Readers = 8;

    private readonly Lock gate = new();

    // Several, so that threads need not wait for each other. The shape determines the parser, so that no shape is parsed twice at once.
    private readonly Reader[] readers = [.. Enumerable.Range(0, Readers).Select(_ => new Reader())];
    private Entry?[] buckets = new Entry?[256];
    private int count;
    private long bytes;
    private int collectionsAtSweep = -1;

    /// <summary>The cache shared by all trees.</summary>
    public static ShapeCache Shared { get; } = new();

    /// <summary>How many times the generated parser has run.</summary>
    public int ParserRuns { get; private set; }

    /// <summary>Estimated size of the cached shapes, in bytes.</summary>
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
        // Weakly held shapes can only have gone since the last sweep if there was a garbage collection in between.
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

    // .NET's string hash is seeded randomly in each process, so nobody can write a plan whose shapes all collide.
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

        /// <summary>Holds the shape weakly from now on. False if it has already been collected.</summary>
        public bool Loosen()
        {
            if (held is null) return loose!.TryGetTarget(out _);
            loose = new WeakReference<Shape>(held);
            held = null;
            return true;
        }
    }
}
