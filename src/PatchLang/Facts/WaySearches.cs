using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>The searches for ways that promises have made so far: many ask of one act, and from where sound begins.</summary>
internal sealed class WaySearches(SignalGraph graph)
{
    private const int MostKnown = 4_000_000; // places, so that they don't fill the memory in plans of many acts

    private readonly Dictionary<SignalView, WaySearch> last = new(ReferenceEqualityComparer.Instance);

    /// <summary>A search in some acts from some nodes, or from the first sources; the last one in these acts, if it was from the same.</summary>
    public WaySearch In(SignalView view, HashSet<int>? starts)
    {
        if (last.TryGetValue(view, out var search) && (starts is null ? search.Starts is null : search.Starts is { } its && starts.SetEquals(its))) return search;
        if (last.Values.Sum(s => (long)s.KnownCount) > MostKnown) last.Clear();
        return last[view] = new WaySearch(graph, view, starts);
    }
}
