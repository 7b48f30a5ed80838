using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>Facts derived from the signals of a plan: one view for each set of acts with the same hops.</summary>
public sealed class SignalFacts
{
    private readonly Lazy<ImmutableArray<SignalView>> views;

    internal SignalFacts(SignalGraph graph)
    {
        Delays = new Delays(graph);
        views = new Lazy<ImmutableArray<SignalView>>(() =>
        {
            var stating = graph.Signals.Near(SignalTraits.Levels).Where(b => b.Symbol is FeedSymbol { StatesLevels: true }).ToArray();
            return [.. Classes(graph, stating).Select(acts => new SignalView(graph, Delays, acts, stating))];
        });
    }

    /// <summary>The delay of each hop.</summary>
    public Delays Delays { get; }

    /// <summary>The views, ordered by their first act.</summary>
    public ImmutableArray<SignalView> Views => views.Value;

    /// <summary>The view of an act.</summary>
    public SignalView In(ActSet acts)
    {
        foreach (var view in Views)
            if (view.Acts.Meets(acts)) return view;
        throw new ArgumentException("The plan has no such act.", nameof(acts));
    }

    private static List<ActSet> Classes(SignalGraph graph, FeedBinding[] stating)
    {
        var by = new HashSet<ActSet>(graph.Signals.Acts);
        // A feed that states a level may have no hop at all.
        foreach (var binding in stating)
            foreach (var variant in binding.Variants) by.Add(variant.Acts);
        return ActClasses.Split(graph.Rig.AllActs, by);
    }
}
