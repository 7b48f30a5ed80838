using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>The clocks of a rig and their roots: for each set of acts in which nothing about them differs, a view.</summary>
public sealed class ClockTree
{
    private readonly Rig rig;
    private readonly SignalGraph graph;
    private readonly Dictionary<Connector, (Connector Far, ActSet Acts)> links;

    // Worked out when first asked for, by whichever check that is.
    private readonly Lock gate = new();
    private readonly Dictionary<ClockView, ClockCrossings> crossings = [];
    private readonly Dictionary<ClockView, ImmutableArray<ClockLoss>> losses = [];
    private (ClockView View, Network Network, ClockResolver Resolver) lastOnNetwork;
    private (ClockView View, ClockResolver Resolver) lastBesides;

    internal ClockTree(Rig rig, SignalGraph graph)
    {
        (this.rig, this.graph) = (rig, graph);
        var by = rig.Changes.Concat(rig.Followings.Select(f => f.Acts)).Concat(rig.Timekeepers.Select(t => t.Acts)).Where(a => a != rig.AllActs).Distinct();
        links = LinkedInputs(rig, graph);
        Views = [.. ActClasses.Split(rig.AllActs, by).Select(acts => new ClockResolver(rig, links, acts).Resolve())];
    }

    /// <summary>The views, by their first act.</summary>
    public ImmutableArray<ClockView> Views { get; }

    /// <summary>The view of an act.</summary>
    public ClockView In(ActSet acts) => Views.First(v => v.Acts.Meets(acts));

    /// <summary>What happens when a timekeeper is lost: one entry for each of a view, in the order of their statements.</summary>
    public ImmutableArray<ClockLoss> LossesIn(ClockView view)
    {
        lock (gate)
        {
            if (losses.TryGetValue(view, out var known)) return known;
            known = [.. rig.Timekeepers.Where(t => t.Acts.Meets(view.Acts)).Select(t => ClockLoss.Of(rig, graph, view, Crossings(view), t, Without(view, t)))];
            losses.Add(view, known);
            return known;
        }
    }

    /// <summary>Where used digital hops pass from one clock to another.</summary>
    internal ClockCrossings Crossings(ClockView view)
    {
        lock (gate)
        {
            if (!crossings.TryGetValue(view, out var known)) crossings.Add(view, known = ClockCrossings.Of(rig, graph, view.Acts));
            return known;
        }
    }

    /// <summary>The clock that would drive a clock by one of its sources.</summary>
    internal Clock? Upstream(ClockView view, Clock clock, ClockSource source)
    {
        // A network of thousands is asked of for each of its members, and holds one election for all of them.
        var network = source.Socket is { } socket ? rig.NetworkOf(clock.Device, socket, view.Acts) : null;
        lock (gate)
        {
            if (network is null)
            {
                if (lastBesides.View != view) lastBesides = (view, new ClockResolver(rig, links, view.Acts));
                return lastBesides.Resolver.UpstreamBy(clock, source);
            }
            if (lastOnNetwork.View != view || lastOnNetwork.Network != network) lastOnNetwork = (view, network, new ClockResolver(rig, links, view.Acts));
            return lastOnNetwork.Resolver.UpstreamBy(clock, source);
        }
    }

    private ClockView Without(ClockView view, Timekeeping keeper) =>
        new ClockResolver(rig, links, view.Acts) { Lost = keeper.Clock.Device.Outermost, Before = view }.Resolve();

    /// <summary>Connectors that a used hop reaches over a cable nobody declared, with the connector at its far end.</summary>
    private static Dictionary<Connector, (Connector Far, ActSet Acts)> LinkedInputs(Rig rig, SignalGraph graph)
    {
        var found = new Dictionary<Connector, (Connector, ActSet)>();
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.DigitalInput))
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            if (rig.SocketOf(graph.ToOf(edge)).Format is { IsDigital: false }) continue;
            var to = rig.PointOf(graph.ToOf(edge));
            found.TryAdd(to.Connector, (rig.PointOf(graph.FromOf(edge)).Connector, graph.ActsOf(edge)));
        }
        return found;
    }
}
