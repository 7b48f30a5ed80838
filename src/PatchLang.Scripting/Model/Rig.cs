using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>
/// A compiled plan as an object model: equipment, its connections, the signals, and what is known about them.
/// Read-only. Each list is created on first use, and several threads may read at the same time.
/// </summary>
public sealed class Rig : IPlaced
{
    private readonly Lazy<Unit[]> units;
    private readonly Lazy<Dictionary<GearSymbol, Gear>> gear;
    private readonly Lazy<ImmutableArray<Feed>> feeds;
    private readonly Lazy<Dictionary<string, ImmutableArray<Feed>>> feedsByName;
    private readonly Lazy<ILookup<int, Signal>> signalsAt;
    private readonly Lazy<ImmutableArray<Network>> networks;
    private readonly Lazy<ImmutableArray<Cable>> cables;
    private readonly Lazy<CableTable> cableTable;
    private readonly Lazy<ImmutableArray<Clock>> clocks;
    private readonly Lazy<Dictionary<int, Reservation>> reserved;

    private Rig(Compilation plan)
    {
        Plan = plan;
        Acts = [.. plan.Acts.Select(a => new Act(this, a))];
        units = new(() => [.. plan.Rig.Devices.Select(d => d.Host is null ? new Unit(this, d) : new Card(this, d))]);
        gear = new(() => plan.Rig.Devices.Select(d => d.Model.Gear).Distinct().ToDictionary(g => g, g => new Gear(this, g)));
        feeds = new(() => [.. plan.Ways.Select(w => new Feed(this, w))]);
        feedsByName = new(() => Everyday.GroupBy(f => f.Name, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.ToImmutableArray(), StringComparer.Ordinal));
        signalsAt = new(() => feeds.Value.SelectMany(f => f.Signals).SelectMany(s => s.Nodes, (s, n) => (s, n)).ToLookup(p => p.n, p => p.s));
        networks = new(() => [.. plan.Rig.Networks.Select(n => new Network(this, n))]);
        cables = new(() => [.. plan.Rig.Cables.Select(c => new Cable(this, c))]);
        cableTable = new(() => new CableTable(plan.Rig));
        clocks = new(() => [.. plan.Rig.Clocks.Select(c => new Clock(this, c))]);
        reserved = new(() =>
        {
            var by = new Dictionary<int, Reservation>();
            foreach (var each in Reservations)
                foreach (var node in each.Nodes) by.TryAdd(node, each);
            return by;
        });
    }

    /// <summary>The object model of a compiled plan.</summary>
    public static Rig Of(Compilation plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return new Rig(plan);
    }

    internal Compilation Plan { get; }

    internal SignalGraph Graph => Plan.Graph;

    /// <summary>The plan's title; if it has none, the path of its root file.</summary>
    public string Name => Plan.Title ?? Plan.Trees[0].Source.Path;

    /// <summary>The start of the root file.</summary>
    public Place Place => new(new Findings.Place(Plan.Trees[0].Source, default));

    /// <summary>The sample rate of every unit that states none of its own.</summary>
    public Hertz Rate => new(Plan.Rate);

    /// <summary>The acts, in the order of the plan; empty if it has none.</summary>
    public IReadOnlyList<Act> Acts { get; }

    /// <summary>All acts.</summary>
    public During AllDay => new(this, Graph.Rig.AllActs);

    /// <summary>The units, each piece separately, in the order of the plan; cards are in <see cref="Unit.Cards"/>.</summary>
    public IEnumerable<Unit> Units => units.Value.Where(u => u is not Card);

    /// <summary>Units and the cards in them.</summary>
    public IReadOnlyList<Unit> Everything => units.Value;

    /// <summary>All cards.</summary>
    public IEnumerable<Card> Cards => units.Value.OfType<Card>();

    /// <summary>Units that have channel strips.</summary>
    public IEnumerable<Unit> Desks => Units.Where(u => u.IsDesk);

    /// <summary>All gear that units or cards of the plan have.</summary>
    public IReadOnlyCollection<Gear> Gear => gear.Value.Values;

    /// <summary>The units and cards with some gear, such as <c>StageRack</c>.</summary>
    public IEnumerable<Unit> UnitsOf(string gear) => units.Value.Where(u => u.Gear.Name == gear);

    /// <summary>A unit or card by its name in the plan: <c>desk</c>, <c>wedge[2]</c>, <c>desk.expansion</c>; null if there is none.</summary>
    public Unit? Unit(string name) => Array.Find(units.Value, u => u.Name == name);

    /// <summary>All ports of all units and cards, including strips and buses.</summary>
    public IEnumerable<Port> Ports => units.Value.SelectMany(u => u.Ports);

    /// <summary>All channels, used or not.</summary>
    public IEnumerable<Channel> Channels => Ports.SelectMany(p => p.Channels);

    /// <summary>The channels where somebody listens.</summary>
    public IEnumerable<Channel> ListeningChannels => Ports.Where(p => p.IsListening).SelectMany(p => p.Inputs.Count > 0 ? p.Inputs : p.Channels);

    /// <summary>
    /// All feeds, one for each set of acts throughout which a feed is the same, in the order of the plan, without bundles and inserts.
    /// </summary>
    public IEnumerable<Feed> Feeds => feeds.Value.Where(f => f.Kind == FeedKind.Feed);

    /// <summary>All bundles, in the same way.</summary>
    public IEnumerable<Feed> Bundles => feeds.Value.Where(f => f.Kind == FeedKind.Bundle);

    /// <summary>All inserts, in the same way.</summary>
    public IEnumerable<Feed> Inserts => feeds.Value.Where(f => f.Kind == FeedKind.Insert);

    /// <summary>The signals that enter the rig: those of feeds that start at a socket.</summary>
    public IEnumerable<Signal> Sources => Feeds.Where(f => f.Origin == FeedOrigin.Socket).SelectMany(f => f.Signals);

    /// <summary>A feed or bundle by name, in the first of its sets of acts; null if there is none.</summary>
    public Feed? Feed(string name) => feedsByName.Value.TryGetValue(name, out var found) ? found[0] : null;

    /// <summary>A feed or bundle by name, one for each set of acts throughout which it is the same.</summary>
    public IReadOnlyList<Feed> FeedsNamed(string name) => feedsByName.Value.TryGetValue(name, out var found) ? found : [];

    /// <summary>The networks, in the order of the plan.</summary>
    public IReadOnlyList<Network> Networks => networks.Value;

    /// <summary>A network by name; null if there is none.</summary>
    public Network? Network(string name) => networks.Value.FirstOrDefault(n => n.Name == name);

    /// <summary>The declared cables; a statement for several ways gives a cable each.</summary>
    public IReadOnlyList<Cable> Cables => cables.Value;

    /// <summary>The clocks, in the order of the units.</summary>
    public IReadOnlyList<Clock> Clocks => clocks.Value;

    /// <summary>The reserved channels.</summary>
    public IReadOnlyList<Reservation> Reservations => field ??= [.. Plan.Reservations.Select(r => new Reservation(this, r))];

    /// <summary>The expectations in the plan, with their results.</summary>
    public IReadOnlyList<Promise> Promises => field ??= [.. Plan.Expectations.Select(e => new Promise(this, e))];

    /// <summary>The findings of the compiler.</summary>
    public IReadOnlyList<Finding> Findings => field ??= [.. Plan.Findings.Select(f => new Finding(f))];

    /// <summary>The channels that a point or feed, written as in a plan, stands for: <c>desk.ch[5]</c>, <c>rack.mic[1..4]</c>, <c>lead</c>.</summary>
    /// <exception cref="ArgumentException">The plan has nothing of that name; the message says what is wrong.</exception>
    public IReadOnlyList<Channel> ChannelsAt(string written)
    {
        var found = Plan.Find(written);
        return found.Problem is { } problem ? throw new ArgumentException($"`{written}`: {problem}", nameof(written)) : [.. found.Nodes.Select(ChannelOf)];
    }

    /// <summary>The single channel of a point, written as in a plan.</summary>
    /// <exception cref="ArgumentException">The plan has nothing of that name, or it is not a single channel.</exception>
    public Channel ChannelAt(string written) =>
        ChannelsAt(written) is [var channel] ? channel : throw new ArgumentException($"`{written}` is not one channel.", nameof(written));

    /// <summary>The whole statement that something is in; its <see cref="Model.Place.Text"/> is the text of the statement.</summary>
    /// <exception cref="ArgumentException">It is in no statement: it belongs to another plan, or is before the first statement.</exception>
    public Place StatementOf(IPlaced thing)
    {
        ArgumentNullException.ThrowIfNull(thing);
        var place = thing.Place.Written;
        var tree = Plan.Trees.FirstOrDefault(t => ReferenceEquals(t.Source, place.Source));
        var index = tree?.IndexAt(place.Span.Start) ?? -1;
        if (index < 0) throw new ArgumentException($"{thing.Name} stands in no statement of this plan.", nameof(thing));
        var text = tree!.Source.Slice(new Text.TextSpan(tree.StartOf(index), tree[index].Text.Length));
        return new(new Findings.Place(tree.Source, new Text.TextSpan(tree.StartOf(index), text.TrimEnd().Length)));
    }

    /// <inheritdoc/>
    public override string ToString() => Name;

    internal Gear GearOf(GearSymbol symbol) => gear.Value[symbol];

    internal Unit UnitOf(Device device) => units.Value[device.Index];

    internal Feed FeedOf(FeedWay way) => feeds.Value[way.Number];

    internal Feed OwnerOf(int edge) => FeedOf(Plan.WayOf(edge));

    internal Network NetworkOf(Graph.Network network) => networks.Value[network.Index];

    internal Clock ClockOf(Graph.Clock clock) => clocks.Value[clock.Index];

    internal IEnumerable<Signal> SignalsAt(int node) => signalsAt.Value[node];

    internal Reservation? ReservationOf(int node) => reserved.Value.GetValueOrDefault(node);

    internal Channel ChannelOf(int node) => ChannelOf(Graph.Rig.PointOf(node));

    internal Channel ChannelOf(GraphPoint point) => new(UnitOf(point.Device).PortOf(point.Socket), point);

    internal Cable? CableBetween(GraphPoint from, GraphPoint to, ActSet acts) => cableTable.Value.Between(from, to, acts) is { } cable ? cables.Value[cable.Index] : null;

    internal Place PlaceOf(Symbol symbol) => new(Plan.PlaceOf(symbol));

    /// <summary>Whether an edge of the graph exists in any of these acts.</summary>
    internal bool IsThere(int edge, ActSet acts) => Graph.ActsOf(edge).Meets(acts);

    private IEnumerable<Feed> Everyday => feeds.Value.Where(f => f.Kind != FeedKind.Insert);

    /// <summary>The cable between two connectors, in whichever direction it was declared.</summary>
    private sealed class CableTable(Graph.Rig rig)
    {
        private readonly ILookup<(Connector, Connector), Graph.Cable> byEnds = rig.Cables.ToLookup(c => (c.From, c.To));

        public Graph.Cable? Between(GraphPoint from, GraphPoint to, ActSet acts)
        {
            var (leaves, arrives) = (from.Connector, to.Connector);
            return byEnds[(leaves, arrives)].FirstOrDefault(c => c.Acts.Meets(acts))
                ?? byEnds[(arrives with { Side = Side.Out }, leaves with { Side = Side.In })].FirstOrDefault(c => c.BothWays && c.Acts.Meets(acts));
        }
    }
}
