using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Physics;

namespace PatchLang.Graph;

/// <summary>
/// Works out which clock follows which, in acts with the same clocking, optionally with a unit taken away. Networks elect their leaders
/// first; a clock that is elected but was told to follow that network runs free instead.
/// </summary>
internal sealed class ClockResolver
{
    private readonly Rig rig;
    private readonly Dictionary<Connector, (Connector Far, ActSet Acts)> links;
    private readonly ActSet acts;
    private readonly Following?[] followings;
    private readonly ClockSource[] sources;
    private readonly Dictionary<Network, ClockElection?> elections = [];
    private readonly bool[] stays;

    public ClockResolver(Rig rig, Dictionary<Connector, (Connector, ActSet)> links, ActSet acts)
    {
        (this.rig, this.links, this.acts) = (rig, links, acts);
        followings = new Following?[rig.Clocks.Length];
        stays = new bool[rig.Clocks.Length];
        foreach (var following in rig.Followings)
            if (following.Acts.Meets(acts)) followings[following.Clock.Index] = following;
        sources = [.. rig.Clocks.Select(c => followings[c.Index]?.Source ?? c.Model.From[0])];
    }

    /// <summary>A unit that is switched off or disconnected, with its cards.</summary>
    public Device? Lost { get; init; }

    /// <summary>The state before a unit was lost.</summary>
    public ClockView? Before { get; init; }

    /// <summary>A timekeeper that is taken as not named.</summary>
    public Timekeeping? LeftOut { get; init; }

    private IEnumerable<Timekeeping> Keepers => rig.Timekeepers.Where(k => k != LeftOut && k.Acts.Meets(acts));

    public ClockView Resolve()
    {
        if (Lost is not null)
        {
            KeepWhatStays();
            FallBack();
        }
        foreach (var network in rig.Networks) Elect(network);
        foreach (var election in elections.Values)
            if (election is { Leader: { } leader, Network: var network } && Follows(leader, network)) RunFree(leader);
        var upstream = new Clock?[sources.Length];
        for (var i = 0; i < sources.Length; i++) upstream[i] = stays[i] ? Before![rig.Clocks[i]].Upstream : UpstreamBy(rig.Clocks[i], sources[i]);
        var states = new ClockState[sources.Length];
        var roots = new (Clock?, ClockFault)?[sources.Length];
        for (var i = 0; i < sources.Length; i++)
        {
            if (stays[i])
            {
                states[i] = Before![rig.Clocks[i]];
                continue;
            }
            var (root, fault) = Root(rig.Clocks[i], upstream, roots);
            states[i] = new ClockState(rig.Clocks[i], sources[i], upstream[i], root, fault) { Following = followings[i] };
        }
        return new ClockView(acts, states, elections.Where(e => e.Value is not null).ToDictionary(e => e.Key, e => e.Value!)) { LeftOut = LeftOut };
    }

    /// <summary>The clock that drives a clock if it follows one of its sources; null if none does.</summary>
    public Clock? UpstreamBy(Clock clock, ClockSource source)
    {
        var found = source.Sort switch
        {
            ClockSourceSort.Host => clock.Device.Host is { } host ? rig.ClockOf(host, null) : null,
            ClockSourceSort.Slot => clock.Device.Cards[source.Slot!.Index] is { Model.Clocks.IsEmpty: false } card ? rig.Clocks[card.FirstClock] : null,
            ClockSourceSort.Socket => FarClock(clock, source.Socket!, source.Channel),
            _ => null,
        };
        return found is null || IsLost(found.Device) ? null : found;
    }

    private bool IsLost(Device device) => Lost is not null && device.Outermost == Lost;

    /// <summary>
    /// Keeps the state of every clock that depends neither on the lost unit nor on a network that has to elect again: a rig with many
    /// independent clock domains is not recomputed for each of its timekeepers.
    /// </summary>
    private void KeepWhatStays()
    {
        var hangs = WhatHangsOn([]);
        var anew = new HashSet<Network>(rig.Networks.Where(n => n.Members.Exists(m => IsLost(m.Device) || rig.ClockOf(m.Device, m.Socket) is { } clock && hangs[clock.Index])));
        foreach (var network in rig.Networks)
            if (!anew.Contains(network)) elections.Add(network, Before!.ElectionOf(network));
        if (anew.Count > 0) hangs = WhatHangsOn(anew);
        foreach (var clock in rig.Clocks)
            if (stays[clock.Index] = !hangs[clock.Index]) sources[clock.Index] = Before![clock].Source;
    }

    /// <summary>
    /// For each clock, by its index, whether the chain it followed passes the lost unit, or one of some networks. A result holds for every clock
    /// further down the chain.
    /// </summary>
    private bool[] WhatHangsOn(HashSet<Network> anew)
    {
        var hangs = new bool[sources.Length];
        var isKnown = new bool[sources.Length];
        var chain = new List<Clock>();
        foreach (var clock in rig.Clocks)
        {
            chain.Clear();
            var at = clock;
            // A loop comes back to a clock already seen, and depends on nothing.
            for (; at is not null && !isKnown[at.Index]; at = Before![at].Upstream)
            {
                isKnown[at.Index] = true;
                chain.Add(at);
                if (hangs[at.Index] = Hangs(at)) break;
            }
            if (at is not null && hangs[at.Index])
                foreach (var one in chain) hangs[one.Index] = true;
        }
        return hangs;

        bool Hangs(Clock clock) => IsLost(clock.Device)
            || (anew.Count > 0 && IsShared(sources[clock.Index]) && rig.NetworkOf(clock.Device, sources[clock.Index].Socket!, acts) is { } network && anew.Contains(network));
    }

    private void RunFree(Clock clock)
    {
        var free = clock.Model.From.FirstOrDefault(s => s.Sort == ClockSourceSort.Internal);
        if (free is not null) sources[clock.Index] = free;
    }

    /// <summary>Lets the clocks that directly followed the lost unit run free, if they can.</summary>
    private void FallBack()
    {
        var stranded = rig.Clocks.Where(c => !IsLost(c.Device) && Before![c] is { Upstream: { } upstream } state && IsLost(upstream.Device) && !IsShared(state.Source));
        foreach (var clock in stranded) RunFree(clock);
    }

    private static bool IsShared(ClockSource source) => source.Socket is { Format.Time: TimeTransfer.Shared };

    /// <summary>The root of a clock. The result is stored for every clock on the chain to it, so that long chains are walked once.</summary>
    private (Clock? Root, ClockFault Fault) Root(Clock clock, Clock?[] upstream, (Clock? Root, ClockFault Fault)?[] known)
    {
        var chain = new List<Clock>();
        (Clock? Root, ClockFault Fault)? found = null;
        for (var at = clock; found is null;)
        {
            found = known[at.Index];
            if (found is not null) break;
            chain.Add(at);
            known[at.Index] = (null, ClockFault.Loop); // the result if the chain comes back here
            if (rig.UnknownClocks.Contains(at)) found = (null, ClockFault.Undecided);
            else if (sources[at.Index].Sort == ClockSourceSort.Internal) found = (at, ClockFault.None);
            else if (upstream[at.Index] is { } next) at = next;
            else found = (null, IsUndecided(at) ? ClockFault.Undecided : ClockFault.NoTime);
        }
        foreach (var one in chain) known[one.Index] = found;
        return found.Value;
    }

    private bool IsUndecided(Clock clock) =>
        sources[clock.Index] is { Sort: ClockSourceSort.Socket, Socket: { } socket }
        && (rig.BrokenEnds.Contains((clock.Device, socket)) || (IsShared(sources[clock.Index]) && rig.NetworkOf(clock.Device, socket, acts) is not null));

    private Clock? FarClock(Clock clock, Socket socket, int? channel)
    {
        if (socket.Format is not { } format) return null;
        if (format.Time == TimeTransfer.None) return null;
        if (format.Time == TimeTransfer.Shared)
            return rig.NetworkOf(clock.Device, socket, acts) is { } network && Elect(network)?.Leader is { } leader && leader != clock ? leader : null;
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

    // ---- Elections

    /// <summary>The election of a network; null if it shares no time, does not exist in these acts, or its election is still in progress.</summary>
    private ClockElection? Elect(Network network)
    {
        if (elections.TryGetValue(network, out var known)) return known;
        elections.Add(network, null); // an election that asks for its own result gets none
        if (network.Format.Time != TimeTransfer.Shared || !network.Symbol.Acts.Meets(acts)) return null;
        return elections[network] = Hold(network);
    }

    private ClockElection Hold(Network network)
    {
        var members = network.Members.Where(m => !IsLost(m.Device)).Select(m => rig.ClockOf(m.Device, m.Socket)).OfType<Clock>().Distinct().Where(c => MayLead(c, network)).ToList();
        var keeper = Lost is null ? KeeperOf(network, members) : Before!.ElectionOf(network)?.Keeper;
        var ranks = keeper is null ? StandbysOf(network, members) : RanksBy(keeper, network, members);
        // If a member or a timekeeper could not be resolved, the leader is unknown.
        if (ranks.Count == 0 && (network.HasUnknownMembers || rig.HasBrokenTimekeepers)) members.Clear();
        var ahead = ranks.Count == 0 ? 0 : ranks.Values.Max() + 1;
        var defaults = members.Select(c => c.Model.Election.Or(network.Format.Election)).ToList();
        var lowest = defaults.Count == 0 ? 0 : defaults.Min(d => d.Priority1 ?? ClockDataSet.DefaultPriority);
        var candidates = ImmutableArray.CreateBuilder<ClockCandidate>(members.Count);
        for (var i = 0; i < members.Count; i++)
        {
            var clock = members[i];
            var unit = clock.Device.Unit;
            var figures = defaults[i];
            var isRanked = ranks.TryGetValue(clock, out var rank);
            // Priority 1 of 0 is reserved for network management (IEEE 802.1AS), so it is not used.
            if (isRanked) figures = figures with { Priority1 = Math.Max(1, lowest - ahead + rank) };
            figures = unit.Election.Or(figures);
            if (figures.Class == ClockDataSet.NeverLeads || figures.Priority1 >= network.Format.NeverLeads) continue;
            var givesWay = !isRanked && unit.Election.Priority1 is null && Follows(clock, network);
            candidates.Add(new ClockCandidate(clock, figures.DataSet(unit.ClockIdentity), givesWay));
        }
        return new ClockElection(network, candidates.ToImmutable(), c => Follows(c, network) ? c : RootBeside(c, network).Root) { Keeper = keeper };
    }

    /// <summary>Whether a member could lead with a time of its own: it can run free, or follows something other than this network.</summary>
    private bool MayLead(Clock clock, Network network) =>
        Follows(clock, network) ? clock.Model.CanRunFree : !RootBeside(clock, network).ComesBack;

    /// <summary>The timekeeper that a network is meant to run on: one that is a member, else one whose time a member brings in.</summary>
    private Timekeeping? KeeperOf(Network network, List<Clock> members)
    {
        var here = Keepers.ToList();
        return here.Find(k => Member(network, k.Clock) is not null) ?? here.Find(k => Bring(k, network, members).Any());
    }

    /// <summary>Ranks from a timekeeper and its standbys: the timekeeper, or the members that bring in its time, rank first.</summary>
    private Dictionary<Clock, int> RanksBy(Timekeeping keeper, Network network, List<Clock> members)
    {
        var ranks = new Dictionary<Clock, int>();
        if (Member(network, keeper.Clock) is { } first) ranks.Add(first, 0);
        else
            foreach (var clock in Bring(keeper, network, members)) ranks.Add(clock, 0);
        for (var i = 0; i < keeper.Standbys.Length; i++)
            if ((Member(network, keeper.Standbys[i]) ?? CardOf(network, keeper.Standbys[i])) is { } standby) ranks.TryAdd(standby, i + 1);
        return ranks;
    }

    /// <summary>Ranks if no timekeeper's time arrives: the standbys that have a time of their own.</summary>
    private Dictionary<Clock, int> StandbysOf(Network network, List<Clock> members)
    {
        var ranks = new Dictionary<Clock, int>();
        foreach (var keeper in Keepers)
            for (var i = 0; i < keeper.Standbys.Length; i++)
                if (Member(network, keeper.Standbys[i]) is { } standby && members.Contains(standby) && !Follows(standby, network)) ranks.TryAdd(standby, i);
        return ranks;
    }

    private IEnumerable<Clock> Bring(Timekeeping keeper, Network network, List<Clock> members) =>
        RootBeside(keeper.Clock, network).Root is { } time ? members.Where(c => !Follows(c, network) && RootBeside(c, network).Root == time) : [];

    /// <summary>The clock with which a timekeeper takes part in a network: itself, or that of a card in its unit.</summary>
    private Clock? Member(Network network, Clock keeper)
    {
        Clock? ofCard = null;
        foreach (var member in network.Members)
        {
            if (IsLost(member.Device) || rig.ClockOf(member.Device, member.Socket) is not { } clock) continue;
            if (clock == keeper) return clock;
            if (member.Device.Outermost == keeper.Device.Outermost && !Follows(clock, network)) ofCard ??= clock;
        }
        return ofCard;
    }

    /// <summary>The card with which a standby follows the network's time, and would lead it.</summary>
    private Clock? CardOf(Network network, Clock standby) =>
        network.Members.Where(m => m.Device.Outermost == standby.Device.Outermost && !IsLost(m.Device)).Select(m => rig.ClockOf(m.Device, m.Socket)).FirstOrDefault(c => c is not null);

    /// <summary>The free-running clock at the end of a clock's chain; none if the chain comes back to the network, or has no end.</summary>
    private (Clock? Root, bool ComesBack) RootBeside(Clock clock, Network network)
    {
        var at = clock;
        for (var steps = 0; steps <= sources.Length; steps++)
        {
            var source = sources[at.Index];
            if (source.Sort == ClockSourceSort.Internal) return (at, false);
            if (rig.UnknownClocks.Contains(at)) return (null, false);
            if (Follows(at, network)) return (null, true);
            if (UpstreamBy(at, source) is not { } next) return (null, false);
            at = next;
        }
        return (null, false);
    }

    private bool Follows(Clock clock, Network network) =>
        sources[clock.Index] is { Sort: ClockSourceSort.Socket, Socket: { } socket } && rig.NetworkOf(clock.Device, socket, acts) == network;
}
