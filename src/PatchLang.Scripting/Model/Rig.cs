using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>
/// A plan, compiled, as its reader thinks of it: equipment, what is joined, what sound goes where, and what is known of it.
/// Nothing here can be changed. Each list is made when it is first asked for, and several threads may read at once.
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

    /// <summary>The objects of a compiled plan.</summary>
    public static Rig Of(Compilation plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return new Rig(plan);
    }

    internal Compilation Plan { get; }

    internal SignalGraph Graph => Plan.Graph;

    /// <summary>The plan's title; where it has none, its file.</summary>
    public string Name => Plan.Title ?? Plan.Trees[0].Source.Path;

    /// <summary>The start of the root file.</summary>
    public Place Place => new(new Findings.Place(Plan.Trees[0].Source, default));

    /// <summary>The sample rate of every unit that names none of its own.</summary>
    public Hertz Rate => new(Plan.Rate);

    /// <summary>The acts, in the order of the plan; none where it has none.</summary>
    public IReadOnlyList<Act> Acts { get; }

    /// <summary>All acts.</summary>
    public During AllDay => new(this, Graph.Rig.AllActs);

    /// <summary>The units, each piece by itself, in the order of the plan; cards are in <see cref="Unit.Cards"/>.</summary>
    public IEnumerable<Unit> Units => units.Value.Where(u => u is not Card);

    /// <summary>Units and the cards in them.</summary>
    public IReadOnlyList<Unit> Everything => units.Value;

    /// <summary>The cards, in whatever they sit.</summary>
    public IEnumerable<Card> Cards => units.Value.OfType<Card>();

    /// <summary>Units that have channel strips.</summary>
    public IEnumerable<Unit> Desks => Units.Where(u => u.IsDesk);

    /// <summary>Every kind of gear that the plan has units or cards of.</summary>
    public IReadOnlyCollection<Gear> Gear => gear.Value.Values;

    /// <summary>The units and cards of a gear, such as <c>StageRack</c>.</summary>
    public IEnumerable<Unit> UnitsOf(string gear) => units.Value.Where(u => u.Gear.Name == gear);

    /// <summary>A unit or card by what the plan calls it: <c>desk</c>, <c>wedge[2]</c>, <c>desk.expansion</c>; null where there is none.</summary>
    public Unit? Unit(string name) => Array.Find(units.Value, u => u.Name == name);

    /// <summary>Every port of every unit and card, strips and buses too.</summary>
    public IEnumerable<Port> Ports => units.Value.SelectMany(u => u.Ports);

    /// <summary>Every channel, used or not.</summary>
    public IEnumerable<Channel> Channels => Ports.SelectMany(p => p.Channels);

    /// <summary>The channels where somebody hears what is there.</summary>
    public IEnumerable<Channel> ListeningChannels => Ports.Where(p => p.IsListening).SelectMany(p => p.Inputs.Count > 0 ? p.Inputs : p.Channels);

    /// <summary>Every feed, once for each set of acts in which nothing about it differs, in the order of the plan. Bundles and inserts stand apart.</summary>
    public IEnumerable<Feed> Feeds => feeds.Value.Where(f => f.Kind == FeedKind.Feed);

    /// <summary>Every bundle, likewise.</summary>
    public IEnumerable<Feed> Bundles => feeds.Value.Where(f => f.Kind == FeedKind.Bundle);

    /// <summary>Every insert, likewise.</summary>
    public IEnumerable<Feed> Inserts => feeds.Value.Where(f => f.Kind == FeedKind.Insert);

    /// <summary>The signals that enter the rig: those of feeds that start at a socket.</summary>
    public IEnumerable<Signal> Sources => Feeds.Where(f => f.Origin == FeedOrigin.Socket).SelectMany(f => f.Signals);

    /// <summary>A feed or bundle by its name: the first of its sets of acts; null where there is none.</summary>
    public Feed? Feed(string name) => feedsByName.Value.TryGetValue(name, out var found) ? found[0] : null;

    /// <summary>A feed or bundle by its name, for each set of acts in which nothing about it differs.</summary>
    public IReadOnlyList<Feed> FeedsNamed(string name) => feedsByName.Value.TryGetValue(name, out var found) ? found : [];

    /// <summary>The networks, in the order of the plan.</summary>
    public IReadOnlyList<Network> Networks => networks.Value;

    /// <summary>A network by its name; null where there is none.</summary>
    public Network? Network(string name) => networks.Value.FirstOrDefault(n => n.Name == name);

    /// <summary>The declared cables: each way of a row by itself.</summary>
    public IReadOnlyList<Cable> Cables => cables.Value;

    /// <summary>The clocks, in the order of the units.</summary>
    public IReadOnlyList<Clock> Clocks => clocks.Value;

    /// <summary>What is kept free.</summary>
    public IReadOnlyList<Reservation> Reservations => field ??= [.. Plan.Reservations.Select(r => new Reservation(this, r))];

    /// <summary>What the plan promises, and what came of it.</summary>
    public IReadOnlyList<Promise> Promises => field ??= [.. Plan.Expectations.Select(e => new Promise(this, e))];

    /// <summary>What the compiler found.</summary>
    public IReadOnlyList<Finding> Findings => field ??= [.. Plan.Findings.Select(f => new Finding(f))];

    /// <summary>The channels that a point or feed stands for, written as in a plan: <c>desk.ch[5]</c>, <c>rack.mic[1..4]</c>, <c>lead</c>.</summary>
    /// <exception cref="ArgumentException">Nothing of the plan is called that; the message says what is wrong with it.</exception>
    public IReadOnlyList<Channel> ChannelsAt(string written)
    {
        var found = Plan.Find(written);
        return found.Problem is { } problem ? throw new ArgumentException($"`{written}`: {problem}", nameof(written)) : [.. found.Nodes.Select(ChannelOf)];
    }

    /// <summary>The one channel of a point, written as in a plan.</summary>
    /// <exception cref="ArgumentException">Nothing of the plan is called that, or it is not one channel.</exception>
    public Channel ChannelAt(string written) =>
        ChannelsAt(written) is [var channel] ? channel : throw new ArgumentException($"`{written}` is not one channel.", nameof(written));

    /// <summary>The whole statement in which something stands; its <see cref="Model.Place.Text"/> is what the plan says.</summary>
    /// <exception cref="ArgumentException">It stands in none: it is of another plan, or ahead of the first statement.</exception>
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

    /// <summary>Whether an edge of the graph is there in some of these acts.</summary>
    internal bool IsThere(int edge, ActSet acts) => Graph.ActsOf(edge).Meets(acts);

    private IEnumerable<Feed> Everyday => feeds.Value.Where(f => f.Kind != FeedKind.Insert);

    /// <summary>Which cable is plugged between two connectors, whichever way round it was written.</summary>
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
