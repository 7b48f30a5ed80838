using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// A plan's signals, in pages that record the combined traits of their signals. Pages whose signals did not change are taken from
/// the previous version of the plan, so that after an edit little has to be looked at again.
/// </summary>
internal sealed class SignalPages
{
    private const int Size = 128;

    private readonly FeedBinding[] all;
    private readonly Page[] pages;
    private readonly int[] firstEdges; // of each page, and finally the total
    private readonly int[] firstVariants;

    private SignalPages(FeedBinding[] all, Page[] pages)
    {
        (this.all, this.pages) = (all, pages);
        firstEdges = new int[pages.Length + 1];
        firstVariants = new int[pages.Length + 1];
        for (var i = 0; i < pages.Length; i++)
        {
            firstEdges[i + 1] = firstEdges[i] + pages[i].Content.Edges;
            firstVariants[i + 1] = firstVariants[i] + pages[i].Content.Variants;
        }
    }

    /// <summary>One page: a range of signals, and what is known of them together.</summary>
    /// <param name="First">The index of its first signal.</param>
    /// <param name="Content">What is known of its signals.</param>
    private readonly record struct Page(int First, Content Content);

    /// <summary>What is known of the signals of a page, independent of its position.</summary>
    /// <param name="Count">The number of signals.</param>
    /// <param name="Variants">The number of their variants.</param>
    /// <param name="Edges">The number of their edges.</param>
    /// <param name="Traits">The traits that any of them has.</param>
    /// <param name="Acts">The acts of variants with edges, other than all acts; each set once.</param>
    private sealed record Content(int Count, int Variants, int Edges, SignalTraits Traits, ImmutableArray<ActSet> Acts)
    {
        /// <summary>Whether some signal has any of these traits.</summary>
        public bool Has(SignalTraits some) => (Traits & some) != SignalTraits.None;
    }

    /// <summary>Every signal: feeds and bundles in the order of the files, then inserts.</summary>
    public FeedBinding[] All => all;

    /// <summary>The number of their edges.</summary>
    public int EdgeCount => firstEdges[^1];

    /// <summary>Whether some signal has any of these traits.</summary>
    public bool Have(SignalTraits traits) => Array.Exists(pages, p => p.Content.Has(traits));

    /// <summary>The number of variants and edges before a signal; for the index after the last signal, their total.</summary>
    public (int Variants, int Edges) Ahead(int number)
    {
        var page = 0;
        while (page < pages.Length && pages[page].First + pages[page].Content.Count <= number) page++;
        var (variants, edges) = (firstVariants[page], firstEdges[page]);
        for (var i = page < pages.Length ? pages[page].First : number; i < number; i++)
        {
            variants += all[i].Variants.Length;
            foreach (var variant in all[i].Variants) edges += variant.Edges.Length;
        }
        return (variants, edges);
    }

    /// <summary>The acts of variants with edges, other than all acts; sets may repeat.</summary>
    public IEnumerable<ActSet> Acts => pages.SelectMany(p => p.Content.Acts);

    /// <summary>All signals with a trait, in order, and some others near them.</summary>
    public IEnumerable<FeedBinding> Near(SignalTraits traits) => NumbersNear(traits).Select(i => all[i]);

    /// <summary>The indices of all signals with a trait, and of some others near them.</summary>
    public IEnumerable<int> NumbersNear(SignalTraits traits)
    {
        foreach (var (first, content) in pages)
            if (content.Has(traits))
                for (var i = first; i < first + content.Count; i++) yield return i;
    }

    /// <summary>The numbers of all edges of signals with a trait, in order, and of some others near them.</summary>
    public EdgeNumbers EdgesNear(SignalTraits traits) => new(this, traits);

    /// <summary>Divides signals into pages.</summary>
    /// <param name="all">The signals.</param>
    /// <param name="rig">The equipment they were bound to.</param>
    /// <param name="before">The pages of the previous version, if it had the same equipment.</param>
    public static SignalPages Of(FeedBinding[] all, Rig rig, SignalPages? before)
    {
        var known = before?.pages ?? [];
        var shift = all.Length - (before?.all.Length ?? 0);
        var firsts = new List<int>(all.Length / Size + 2);
        var contents = new List<Content?>(all.Length / Size + 2); // null for pages that have to be read
        var (head, at) = (0, 0);
        for (; head < known.Length && IsSame(known[head], 0); at += known[head++].Content.Count) Add(at, known[head].Content);
        var tail = known.Length;
        while (tail > head && known[tail - 1].First + shift >= at && IsSame(known[tail - 1], shift)) tail--;
        // If no signal was added or removed, pages in between may be unchanged too.
        if (shift == 0)
            for (var i = head; i < tail; i++) Add(known[i].First, IsSame(known[i], 0) ? known[i].Content : null);
        else Cut(at, tail < known.Length ? known[tail].First + shift : all.Length);
        for (var i = tail; i < known.Length; i++) Add(known[i].First + shift, known[i].Content);

        var made = new Page[firsts.Count];
        var unread = new List<int>();
        for (var i = 0; i < made.Length; i++)
            if (contents[i] is { } content) made[i] = new Page(firsts[i], content);
            else unread.Add(i);
        SideBySide.Do(unread.Count, unread.Count * Size, i =>
        {
            var page = unread[i];
            made[page] = new Page(firsts[page], Read(all.AsSpan(firsts[page]..(page + 1 < firsts.Count ? firsts[page + 1] : all.Length)), rig));
        });
        return new SignalPages(all, made);

        void Add(int first, Content? content)
        {
            firsts.Add(first);
            contents.Add(content);
        }

        bool IsSame(Page page, int shift) =>
            page.First + shift is >= 0 and var first && first + page.Content.Count <= all.Length
            && Same(all.AsSpan(first, page.Content.Count), before!.all.AsSpan(page.First, page.Content.Count));

        // Cut into even pieces, so that pages neither grow nor fragment as statements are inserted.
        void Cut(int first, int end)
        {
            var pieces = (end - first + Size - 1) / Size;
            for (var i = 0; i < pieces; i++) Add(first + (int)((long)(end - first) * i / pieces), null);
        }
    }

    /// <summary>Whether two ranges hold the same signals.</summary>
    private static bool Same(ReadOnlySpan<FeedBinding> some, ReadOnlySpan<FeedBinding> others)
    {
        for (var i = 0; i < some.Length; i++)
            if (!ReferenceEquals(some[i], others[i])) return false;
        return true;
    }

    private static Content Read(ReadOnlySpan<FeedBinding> signals, Rig rig)
    {
        var (variants, edges, traits) = (0, 0, SignalTraits.None);
        var acts = new List<ActSet>();
        foreach (var signal in signals)
        {
            traits |= TraitsOfSignals.Of(signal, rig);
            variants += signal.Variants.Length;
            foreach (var variant in signal.Variants)
            {
                edges += variant.Edges.Length;
                if (variant.Edges.Length > 0 && variant.Acts != rig.AllActs && !acts.Contains(variant.Acts)) acts.Add(variant.Acts);
            }
        }
        return new Content(signals.Length, variants, edges, traits, [.. acts]);
    }

    /// <summary>Enumerates the edge numbers of pages with a trait.</summary>
    public struct EdgeNumbers(SignalPages signals, SignalTraits traits)
    {
        private int page = -1;
        private int end;

        public int Current { get; private set; } = -1;

        public readonly EdgeNumbers GetEnumerator() => this;

        public bool MoveNext()
        {
            if (++Current < end) return true;
            while (++page < signals.pages.Length)
            {
                if (!signals.pages[page].Content.Has(traits)) continue;
                (Current, end) = (signals.firstEdges[page], signals.firstEdges[page + 1]);
                if (Current < end) return true;
            }
            return false;
        }
    }
}
