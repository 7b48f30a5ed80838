using System.Collections.Immutable;

namespace PatchLang.Facts;

/// <summary>How long sound is on its way from some places to another.</summary>
internal sealed class Passage
{
    private readonly WaySearch search;
    private readonly int place;

    internal Passage(WaySearch search, int place, Arrival arrival) => (this.search, this.place, Arrival) = (search, place, arrival);

    /// <summary>When it arrives, counted from where it starts.</summary>
    public Arrival Arrival { get; }

    /// <summary>The way that takes least, hop by hop; of unknown delays what is known. Put together when it is asked for: it may be long.</summary>
    public ImmutableArray<int> Quickest => search.WayTo(place, r => r.Quickest);

    /// <summary>The way that takes longest; put together when it is asked for.</summary>
    public ImmutableArray<int> Slowest => search.WayTo(place, r => r.Slowest);
}
