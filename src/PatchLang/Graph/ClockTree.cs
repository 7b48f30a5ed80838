using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>Why a clock has no time of its own or of another.</summary>
public enum ClockFault
{
    /// <summary>It has: some clock that runs free is its root.</summary>
    None,

    /// <summary>It follows, by some way, itself.</summary>
    Loop,

    /// <summary>It follows a source at which no time arrives.</summary>
    NoTime,

    /// <summary>It follows a network of which nothing says who leads it.</summary>
    Undecided,
}

/// <summary>One clock in acts in which nothing about clocks differs.</summary>
/// <param name="Clock">The clock.</param>
/// <param name="Source">What it takes its time from.</param>
/// <param name="Upstream">The clock that drives that source; null where it runs free, or none does.</param>
/// <param name="Root">The clock that runs free at the end of the chain; null where there is none.</param>
/// <param name="Fault">Why there is no root.</param>
public sealed record ClockState(Clock Clock, ClockSource Source, Clock? Upstream, Clock? Root, ClockFault Fault)
{
    /// <summary>How a plan writes the source: <c>internal</c>, <c>host</c>, <c>net</c>.</summary>
    public string SourceText => ClockBinder.Words(Source);

    /// <summary>Whether it runs free.</summary>
    public bool IsFree => Source.Sort == ClockSourceSort.Internal;

    internal Following? Following { get; init; }
}

/// <summary>Who follows whom, in acts in which nothing about that differs.</summary>
public sealed class ClockView
{
    private readonly ClockState[] states;
    private readonly Dictionary<Network, Clock?> leaders;

    internal ClockView(ActSet acts, ClockState[] states, Dictionary<Network, Clock?> leaders)
    {
        Acts = acts;
        this.states = states;
        this.leaders = leaders;
    }

    /// <summary>The acts it holds in.</summary>
    public ActSet Acts { get; }

    /// <summary>Every clock, in the rig's order.</summary>
    public ImmutableArray<ClockState> States => [.. states];

    /// <summary>One clock's state.</summary>
    public ClockState this[Clock clock] => states[clock.Index];

    /// <summary>The clock that leads a network that shares time; null where that is undecided.</summary>
    public Clock? LeaderOf(Network network) => leaders.GetValueOrDefault(network);
}

/// <summary>The clocks of a rig and their roots: for each set of acts in which nothing about them differs, a view.</summary>
public sealed class ClockTree
{
    private readonly Dictionary<Connector, (Connector Far, ActSet Acts)> links;

    internal ClockTree(Rig rig, SignalGraph graph)
    {
        var by = rig.Changes.Concat(rig.Followings.Select(f => f.Acts)).Concat(rig.Timekeepers.Select(t => t.Acts)).Where(a => a != rig.AllActs).Distinct();
        links = LinkedInputs(rig, graph);
        Views = [.. ActClasses.Split(rig.AllActs, by).Select(acts => new Builder(rig, links, acts).Build())];
    }

    /// <summary>The views, by their first act.</summary>
    public ImmutableArray<ClockView> Views { get; }

    /// <summary>The view of an act.</summary>
    public ClockView In(ActSet acts) => Views.First(v => v.Acts.Meets(acts));

    /// <summary>The clock that would drive a clock by one of its sources.</summary>
    internal Clock? Upstream(Rig rig, ClockView view, Clock clock, ClockSource source) => new Builder(rig, links, view.Acts).UpstreamBy(clock, source);

    /// <summary>Connectors that a used hop reaches over a cable nobody declared, with the connector at its far end.</summary>
    private static Dictionary<Connector, (Connector Far, ActSet Acts)> LinkedInputs(Rig rig, SignalGraph graph)
    {
        var found = new Dictionary<Connector, (Connector, ActSet)>();
        for (var edge = 0; edge < graph.EdgeCount; edge++)
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            var to = rig.PointOf(graph.ToOf(edge));
            if (to.Socket.Format is { IsDigital: false }) continue;
            found.TryAdd(to.Connector, (rig.PointOf(graph.FromOf(edge)).Connector, graph.ActsOf(edge)));
        }
        return found;
    }

    private sealed class Builder
    {
        private readonly Rig rig;
        private readonly Dictionary<Connector, (Connector Far, ActSet Acts)> links;
        private readonly ActSet acts;
        private readonly Following?[] followings;
        private readonly ClockSource[] sources;
        private readonly Dictionary<Network, Clock?> leaders = [];

        public Builder(Rig rig, Dictionary<Connector, (Connector, ActSet)> links, ActSet acts)
        {
            (this.rig, this.links, this.acts) = (rig, links, acts);
            followings = new Following?[rig.Clocks.Length];
            foreach (var following in rig.Followings)
                if (following.Acts.Meets(acts)) followings[following.Clock.Index] = following;
            sources = [.. rig.Clocks.Select(c => followings[c.Index]?.Source ?? c.Model.From[0])];
            foreach (var network in rig.Networks)
                if (network.Symbol.Acts.Meets(acts)) leaders[network] = null;
            foreach (var network in rig.Networks)
                if (leaders.ContainsKey(network)) leaders[network] = Leader(network);
        }

        public ClockView Build()
        {
            var upstream = new Clock?[sources.Length];
            for (var i = 0; i < sources.Length; i++) upstream[i] = UpstreamOf(rig.Clocks[i]);
            var states = new ClockState[sources.Length];
            for (var i = 0; i < sources.Length; i++)
            {
                var (root, fault) = Root(rig.Clocks[i], upstream);
                states[i] = new ClockState(rig.Clocks[i], sources[i], upstream[i], root, fault) { Following = followings[i] };
            }
            return new ClockView(acts, states, leaders);
        }

        private (Clock? Root, ClockFault Fault) Root(Clock clock, Clock?[] upstream)
        {
            var at = clock;
            for (var steps = 0; steps <= sources.Length; steps++)
            {
                if (rig.UnknownClocks.Contains(at)) return (null, ClockFault.Undecided);
                if (sources[at.Index].Sort == ClockSourceSort.Internal) return (at, ClockFault.None);
                if (upstream[at.Index] is not { } next) return (null, IsUndecided(at) ? ClockFault.Undecided : ClockFault.NoTime);
                at = next;
            }
            return (null, ClockFault.Loop);
        }

        private bool IsUndecided(Clock clock) =>
            sources[clock.Index] is { Sort: ClockSourceSort.Socket, Socket: { } socket }
            && (rig.BrokenEnds.Contains((clock.Device, socket)) || (socket.Format is { Time: TimeTransfer.Shared } && rig.NetworkOf(clock.Device, socket, acts) is not null));

        private Clock? UpstreamOf(Clock clock) => UpstreamBy(clock, sources[clock.Index]);

        public Clock? UpstreamBy(Clock clock, ClockSource source)
        {
            switch (source.Sort)
            {
                case ClockSourceSort.Host:
                    return clock.Device.Host is { } host ? rig.ClockOf(host, null) : null;
                case ClockSourceSort.Slot:
                    return clock.Device.Cards[source.Slot!.Index] is { Model.Clocks.IsEmpty: false } card ? rig.Clocks[card.FirstClock] : null;
                case ClockSourceSort.Socket:
                    return FarClock(clock, source.Socket!, source.Channel);
                default:
                    return null;
            }
        }

        private Clock? FarClock(Clock clock, Socket socket, int? channel)
        {
            if (socket.Format is not { } format) return null;
            if (format.Time == TimeTransfer.None) return null;
            if (format.Time == TimeTransfer.Shared)
                return rig.NetworkOf(clock.Device, socket, acts) is { } network && leaders[network] != clock ? leaders[network] : null;
            var per = socket.InPerConnector;
            var connectors = channel is { } only ? [(only - 1) / per] : Enumerable.Range(0, Math.Max(1, (socket.InCount + per - 1) / per));
            foreach (var number in connectors)
            {
                var connector = new Connector(clock.Device, socket, Side.In, number);
                var cable = rig.CablesTo.GetValueOrDefault(connector)?.Find(c => c.Acts.Meets(acts));
                if (cable is not null) return rig.ClockOf(cable.From.Device, cable.From.Socket);
                var back = rig.CablesFrom.GetValueOrDefault(connector with { Side = Side.Out })?.Find(c => c.BothWays && c.Acts.Meets(acts));
                if (back is not null) return rig.ClockOf(back.To.Device, back.To.Socket);
                if (links.TryGetValue(connector, out var link) && link.Acts.Meets(acts)) return rig.ClockOf(link.Far.Device, link.Far.Socket);
            }
            return null;
        }

        /// <summary>The clock that leads a network: the timekeeper's member, else a standby's, else the only member that does not follow the network.</summary>
        private Clock? Leader(Network network)
        {
            if (network.Format.Time != TimeTransfer.Shared) return null;
            foreach (var keeping in rig.Timekeepers)
                if (keeping.Acts.Meets(acts) && Member(network, keeping.Clock) is { } member) return member;
            foreach (var keeping in rig.Timekeepers)
                if (keeping.Acts.Meets(acts))
                    foreach (var standby in keeping.Standbys)
                        if (Member(network, standby) is { } member && !Follows(member, network)) return member;
            if (network.HasUnknownMembers || rig.HasBrokenTimekeepers) return null;
            var free = network.Members.Select(m => rig.ClockOf(m.Device, m.Socket)).OfType<Clock>().Distinct().Where(c => !Follows(c, network)).Take(2).ToArray();
            return free.Length == 1 ? free[0] : null;
        }

        /// <summary>The clock by which a timekeeper leads a network: itself, or that of a card in its unit.</summary>
        private Clock? Member(Network network, Clock keeper)
        {
            Clock? ofCard = null;
            foreach (var member in network.Members)
            {
                if (rig.ClockOf(member.Device, member.Socket) is not { } clock) continue;
                if (clock == keeper) return clock;
                if (member.Device.Outermost == keeper.Device.Outermost && !Follows(clock, network)) ofCard ??= clock;
            }
            return ofCard;
        }

        private bool Follows(Clock clock, Network network) =>
            sources[clock.Index] is { Sort: ClockSourceSort.Socket, Socket: { } socket } && rig.NetworkOf(clock.Device, socket, acts) == network;
    }
}
