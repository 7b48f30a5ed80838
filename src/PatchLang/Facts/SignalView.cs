using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>What holds of the signals in acts in which no hop differs.</summary>
public sealed class SignalView
{
    private const int Known = 0;
    private const int Broken = -1;

    private readonly double[] earliest;
    private readonly double[] latest;
    private readonly int[] unknown; // the edge's number and 1
    private readonly Lazy<ImmutableArray<Sum>> rejoining;
    private readonly Lazy<Levels> levels;

    internal SignalView(SignalGraph graph, Delays delays, ActSet acts, FeedBinding[] stating)
    {
        Delays = delays;
        Order = new SignalOrder(graph, delays, acts);
        (earliest, latest, unknown) = (new double[Order.PlaceCount], new double[Order.PlaceCount], new int[Order.PlaceCount]);
        WorkOut(graph, delays);
        rejoining = new Lazy<ImmutableArray<Sum>>(() => Origins.Find(graph, this, delays));
        levels = new Lazy<Levels>(() => new Levels(graph, this, WrittenLevels.Of(stating, acts)));
    }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts => Order.Acts;

    /// <summary>What each hop adds, in all acts alike.</summary>
    public Delays Delays { get; }

    /// <summary>The hops, in an order in which facts are worked out.</summary>
    public SignalOrder Order { get; }

    /// <summary>The sums at which one origin arrives over several ways.</summary>
    public ImmutableArray<Sum> Rejoining => rejoining.Value;

    /// <summary>How loud it is at every place.</summary>
    public Levels Levels => levels.Value;

    /// <summary>When sound is at a node; behind its insert, of a strip that has one.</summary>
    public Arrival ArrivalAt(int node) => ArrivalAtPlace(Order.PlaceOf(node));

    /// <summary>When sound is at a place of the order.</summary>
    public Arrival ArrivalAtPlace(int place) =>
        new(earliest[place], latest[place], unknown[place] switch { Known => null, Broken => -1, var edge => edge - 1 });

    private void WorkOut(SignalGraph graph, Delays delays)
    {
        foreach (var node in graph.UnknownSources) unknown[node] = Broken;
        if (Order.HasCircles)
            for (var place = 0; place < unknown.Length; place++)
                if (Order.IsInCircle(place)) unknown[place] = Broken;
        var edges = Order.Edges;
        var froms = Order.Froms;
        var tos = Order.Tos;
        foreach (var to in tos) earliest[to] = double.PositiveInfinity;
        var aligned = AlignedBuses.Of(graph.Rig);
        for (var i = 0; i < edges.Length; i++)
        {
            var (from, to) = (froms[i], tos[i]);
            var delay = delays[edges[i]];
            latest[to] = Math.Max(latest[to], latest[from] + delay.Latest);
            var arrives = earliest[from] + delay.Earliest;
            // An aligned bus waits for its last source.
            earliest[to] = aligned.Contains(to) && earliest[to] < double.PositiveInfinity ? Math.Max(earliest[to], arrives) : Math.Min(earliest[to], arrives);
            if (unknown[to] == Broken) continue;
            if (unknown[from] == Broken) unknown[to] = Broken;
            else if (unknown[to] == Known) unknown[to] = unknown[from] != Known ? unknown[from] : delay.IsKnown ? Known : edges[i] + 1;
        }
    }
}
