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
    private readonly Dictionary<(ClockView View, Timekeeping Keeper), ClockLoss> losses = [];
    private readonly Dictionary<ClockView, HashSet<Device>> needed = [];
    private readonly Dictionary<(ClockView View, Network Network), ClockResolver> onNetworks = [];
    private (ClockView View, ClockResolver Resolver) lastBesides;

    /// <summary>So many elections are kept: fixes at one place ask of the same few networks.</summary>
    private const int MostKept = 16;

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
    public ImmutableArray<ClockLoss> LossesIn(ClockView view) => [.. rig.Timekeepers.Where(t => t.Acts.Meets(view.Acts)).Select(t => LossOf(view, t))];

    /// <summary>What happens in a view when one of its timekeepers is lost.</summary>
    internal ClockLoss LossOf(ClockView view, Timekeeping keeper)
    {
        lock (gate)
        {
            if (losses.TryGetValue((view, keeper), out var known)) return known;
            if (!needed.TryGetValue(view, out var units)) needed.Add(view, units = Needed(view));
            var unit = keeper.Clock.Device.Outermost;
            known = units.Contains(unit) || keeper.Standbys.Any(s => s.Device.Outermost == unit)
                ? ClockLoss.Of(rig, graph, view, Crossings(view), keeper, Without(view, keeper))
                : ClockLoss.OfNobody(view, keeper);
            losses.Add((view, keeper), known);
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
            if (!onNetworks.TryGetValue((view, network), out var resolver))
            {
                if (onNetworks.Count == MostKept) onNetworks.Clear();
                onNetworks.Add((view, network), resolver = new ClockResolver(rig, links, view.Acts));
            }
            return resolver.UpstreamBy(clock, source);
        }
    }

    /// <summary>The units that a clock of another follows, or that are on a network: the others can be lost, and nothing else changes.</summary>
    private HashSet<Device> Needed(ClockView view)
    {
        var units = rig.Networks.SelectMany(n => n.Members).Select(m => m.Device.Outermost).ToHashSet();
        foreach (var state in view.States)
            if (state.Upstream is { } upstream && upstream.Device.Outermost != state.Clock.Device.Outermost) units.Add(upstream.Device.Outermost);
        return units;
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
