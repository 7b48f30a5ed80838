using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>The clocks of a rig and their roots, as one view for each set of acts with the same clocking.</summary>
public sealed class ClockTree
{
    private readonly Rig rig;
    private readonly SignalGraph graph;
    private readonly Dictionary<Connector, (Connector Far, ActSet Acts)> links;

    // Computed on first use, by whichever check asks first.
    private readonly Lock gate = new();
    private readonly Dictionary<ClockView, ClockCrossings> crossings = [];
    private readonly Dictionary<(ClockView View, Timekeeping Keeper), ClockLoss> losses = [];
    private readonly Dictionary<ClockView, HashSet<Device>> needed = [];
    private readonly Dictionary<(ClockView View, Network Network), ClockResolver> onNetworks = [];
    private (ClockView View, ClockResolver Resolver) lastBesides;

    /// <summary>The most election results kept: fixes at one place ask about the same few networks.</summary>
    private const int MostKept = 16;

    internal ClockTree(Rig rig, SignalGraph graph)
    {
        (this.rig, this.graph) = (rig, graph);
        var by = rig.Changes.Concat(rig.Followings.Select(f => f.Acts)).Concat(rig.Timekeepers.Select(t => t.Acts)).Where(a => a != rig.AllActs).Distinct();
        links = LinkedInputs(rig, graph);
        Views = [.. ActClasses.Split(rig.AllActs, by).Select(acts => new ClockResolver(rig, links, acts).Resolve())];
    }

    /// <summary>The views, ordered by their first act.</summary>
    public ImmutableArray<ClockView> Views { get; }

    /// <summary>The view of an act.</summary>
    public ClockView In(ActSet acts) => Views.First(v => v.Acts.Meets(acts));

    /// <summary>What happens when a timekeeper is lost: one entry for each timekeeper of a view, in the order of their statements.</summary>
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

    /// <summary>Where digital audio in use passes from one clock to another.</summary>
    internal ClockCrossings Crossings(ClockView view)
    {
        lock (gate)
        {
            if (!crossings.TryGetValue(view, out var known)) crossings.Add(view, known = ClockCrossings.Of(rig, graph, view.Acts));
            return known;
        }
    }

    /// <summary>The clock that would drive a clock if it followed one of its sources.</summary>
    internal Clock? Upstream(ClockView view, Clock clock, ClockSource source)
    {
        // Large networks are asked about once for each member, but need only one election.
        var network = source.Socket is { } socket ? rig.NetworkOf(clock.Device, socket, view.Acts) : null;
        lock (gate)
        {
            if (network is null)
            {
                if (lastBesides.View != view) lastBesides = (view, new ClockResolver(rig, links, view.Acts) { LeftOut = view.LeftOut });
                return lastBesides.Resolver.UpstreamBy(clock, source);
            }
            if (!onNetworks.TryGetValue((view, network), out var resolver))
            {
                if (onNetworks.Count == MostKept) onNetworks.Clear();
                onNetworks.Add((view, network), resolver = new ClockResolver(rig, links, view.Acts) { LeftOut = view.LeftOut });
            }
            return resolver.UpstreamBy(clock, source);
        }
    }

    /// <summary>The units whose loss affects others: those on a network, and those with a clock that another unit follows.</summary>
    private HashSet<Device> Needed(ClockView view)
    {
        var units = rig.Networks.SelectMany(n => n.Members).Select(m => m.Device.Outermost).ToHashSet();
        foreach (var state in view.States)
            if (state.Upstream is { } upstream && upstream.Device.Outermost != state.Clock.Device.Outermost) units.Add(upstream.Device.Outermost);
        return units;
    }

    /// <summary>What would hold in the acts of a view if a timekeeper were not named.</summary>
    internal ClockView Unnamed(ClockView view, Timekeeping keeper) => new ClockResolver(rig, links, view.Acts) { LeftOut = keeper }.Resolve();

    private ClockView Without(ClockView view, Timekeeping keeper) =>
        new ClockResolver(rig, links, view.Acts) { Lost = keeper.Clock.Device.Outermost, Before = view }.Resolve();

    /// <summary>The receiving connectors of hops over undeclared cables, each with the connector at the far end.</summary>
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
