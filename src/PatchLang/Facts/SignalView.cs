using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>Facts about the signals in a set of acts with the same hops. Each is computed on first use.</summary>
public sealed class SignalView
{
    private readonly SignalGraph graph;
    private readonly Lazy<SignalOrder> order;
    private readonly Lazy<Arrivals> arrivals;
    private readonly Lazy<ImmutableArray<Sum>> rejoining;
    private readonly Lazy<WrittenLevels> written;
    private readonly Lazy<Levels> levels;

    internal SignalView(SignalGraph graph, Delays delays, ActSet acts, FeedBinding[] stating)
    {
        (this.graph, Delays, Acts) = (graph, delays, acts);
        order = new Lazy<SignalOrder>(() => new SignalOrder(graph, delays, acts));
        arrivals = new Lazy<Arrivals>(() => new Arrivals(graph, Order, delays));
        rejoining = new Lazy<ImmutableArray<Sum>>(() => Origins.MayRejoin(graph) ? Origins.Find(graph, this, delays) : []);
        written = new Lazy<WrittenLevels>(() => WrittenLevels.Of(graph.Rig, stating, acts));
        levels = new Lazy<Levels>(() => new Levels(graph, this, Written));
    }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts { get; }

    /// <summary>The delay of each hop, common to all acts.</summary>
    public Delays Delays { get; }

    /// <summary>The hops in topological order.</summary>
    public SignalOrder Order => order.Value;

    /// <summary>The sums at which one origin arrives over several ways.</summary>
    public ImmutableArray<Sum> Rejoining => rejoining.Value;

    /// <summary>The levels and gains that feeds state.</summary>
    public WrittenLevels Written => written.Value;

    /// <summary>The levels at every place.</summary>
    public Levels Levels => levels.Value;

    /// <summary>When sound arrives at a node; for a strip with an insert, after the insert.</summary>
    public Arrival ArrivalAt(int node) => ArrivalAtPlace(Order.PlaceOf(node));

    /// <summary>When sound arrives at a place of the order.</summary>
    public Arrival ArrivalAtPlace(int place) => arrivals.Value[place];

    /// <summary>Whether a node has a hop in these acts.</summary>
    public bool IsUsed(int node)
    {
        foreach (var edge in graph.Into(node))
            if (graph.ActsOf(edge).Meets(Acts)) return true;
        foreach (var edge in graph.OutOf(node))
            if (graph.ActsOf(edge).Meets(Acts)) return true;
        return false;
    }
}
