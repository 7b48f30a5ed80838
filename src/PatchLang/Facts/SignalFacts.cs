using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>What is worked out of the signals of a plan: for each set of acts in which no hop differs, a view.</summary>
public sealed class SignalFacts
{
    internal SignalFacts(SignalGraph graph, FeedBinding[] bindings)
    {
        Delays = Delays.Of(graph);
        var by = new HashSet<ActSet>();
        for (var edge = 0; edge < graph.EdgeCount; edge++) by.Add(graph.ActsOf(edge));
        // A feed that states a level may have no hop at all.
        var stating = Array.FindAll(bindings, b => b.Symbol is FeedSymbol { StatesLevels: true });
        foreach (var binding in stating)
            foreach (var variant in binding.Variants) by.Add(variant.Acts);
        Views = [.. ActClasses.Split(graph.Rig.AllActs, by).Select(acts => new SignalView(graph, Delays, acts, stating))];
    }

    /// <summary>What each hop adds.</summary>
    public Delays Delays { get; }

    /// <summary>The views, by their first act.</summary>
    public ImmutableArray<SignalView> Views { get; }

    /// <summary>The view of an act.</summary>
    public SignalView In(ActSet acts)
    {
        foreach (var view in Views)
            if (view.Acts.Meets(acts)) return view;
        throw new ArgumentException("The plan has no such act.", nameof(acts));
    }
}
