using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Outputs.Comparison;

/// <summary>
/// One of two plans in terms common to both: names, channels and acts of the old plan are replaced by those of their counterparts in the
/// new one, so that what is the same compares as equal.
/// </summary>
internal sealed class PlanSide(Compilation plan, bool isNew)
{
    private readonly Dictionary<ActSet, UInt128> slotsOf = [];
    private int[]? nodes;
    private Dictionary<Device, (Device Other, int[]? Sockets)?>? others;
    private readonly Dictionary<int, int> ownOf = [];
    private int newCount;

    public Compilation Plan { get; } = plan;

    public bool IsNew { get; } = isNew;

    public Rig Rig => Plan.Rig;

    /// <summary>For each act, its slots among the acts of both plans.</summary>
    public UInt128[] SlotsOfAct { get; set; } = [];

    /// <summary>The new names of the old plan's units, feeds, networks and looms that were renamed.</summary>
    public Dictionary<(string Sort, string Name), string> Renamed { get; } = [];

    /// <summary>Feeds with a way that is partly unresolved, by their new names.</summary>
    public Dictionary<string, Place> Broken { get; } = new(StringComparer.Ordinal);

    /// <summary>The sockets that sources are plugged into; at all others the unit itself plays.</summary>
    public HashSet<string> Plugged { get; } = new(StringComparer.Ordinal);

    /// <summary>The sockets that the sources of a feed are plugged into, by the feed's name.</summary>
    public Dictionary<string, List<string>> SocketsOf { get; } = new(StringComparer.Ordinal);

    /// <summary>The slots of some acts.</summary>
    public UInt128 Slots(ActSet acts)
    {
        if (slotsOf.TryGetValue(acts, out var slots)) return slots;
        foreach (var act in (acts & Rig.AllActs).Each) slots |= SlotsOfAct[act.First];
        slotsOf.Add(acts, slots);
        return slots;
    }

    public string FeedName(string name) => Renamed.GetValueOrDefault(("feed", name), name);

    public string NetworkName(string name) => Renamed.GetValueOrDefault(("network", name), name);

    public string LoomName(string name) => Renamed.GetValueOrDefault(("loom", name), name);

    public string UnitName(string name) => Renamed.GetValueOrDefault(("unit", name), name);

    public string NameOf(Device device) => In(device, device.Name);

    public string NameOf(Connector connector) => In(connector.Device, connector.ToString());

    public string NameOf(GraphPoint point) => In(point.Device, point.ToString());

    public string NameOf(Clock clock) => In(clock.Device, clock.Name);

    /// <summary>A feed's element as a plan writes it.</summary>
    public string NameOf(FeedWay way, int element)
    {
        var name = way.NameOf(element);
        return Renamed.Count == 0 || !Renamed.ContainsKey(("feed", way.Name)) ? name : FeedName(way.Name) + name[way.Name.Length..];
    }

    /// <summary>
    /// Numbers the channels for both plans: those of the new plan keep their numbers, and those that only the old one has come after them.
    /// </summary>
    public void PairNodes(PlanSide newSide)
    {
        if (IsNew) return;
        newCount = newSide.Rig.NodeCount;
        var byName = newSide.Rig.Devices.ToLookup(d => d.Name);
        var taken = new HashSet<Device>();
        var sockets = new Dictionary<(GearModel, GearModel), int[]>();
        others = [];
        foreach (var device in Rig.Devices)
        {
            var slots = Slots(device.Acts);
            var other = byName[NameOf(device)].Where(d => !taken.Contains(d)).OrderByDescending(d => UInt128.PopCount(newSide.Slots(d.Acts) & slots)).FirstOrDefault();
            if (other is null)
            {
                others.Add(device, null);
                continue;
            }
            taken.Add(other);
            if (!sockets.TryGetValue((device.Model, other.Model), out var map))
            {
                map = [.. device.Model.Sockets.Select(s => IndexOf(other.Model, s))];
                sockets.Add((device.Model, other.Model), map);
            }
            others.Add(device, (other, map));
        }
        nodes = new int[Rig.NodeCount];
        Array.Fill(nodes, -1);

        static int IndexOf(GearModel model, Socket socket)
        {
            for (var i = 0; i < model.Sockets.Length; i++)
                if (model.Sockets[i].Name == socket.Name && model.Sockets[i].IsInner == socket.IsInner) return i;
            return -1;
        }
    }

    /// <summary>The common number of a node of this plan.</summary>
    public int Node(int node)
    {
        if (IsNew) return node;
        if (nodes![node] is >= 0 and var known) return known;
        var number = Find(Rig.PointOf(node)) is >= 0 and var found ? found : newCount + node;
        ownOf[number] = node;
        return nodes[node] = number;
    }

    /// <summary>The node of this plan with a common number; −1 if it has none, or none was asked for yet.</summary>
    public int Own(int number) => IsNew ? (number < Rig.NodeCount ? number : -1) : ownOf.GetValueOrDefault(number, -1);

    private int Find(GraphPoint point)
    {
        if (others![point.Device] is not var (other, sockets)) return -1;
        if (sockets![point.Socket.Index] is not (>= 0 and var index)) return -1;
        var socket = other.Model.Sockets[index];
        return point.Channel < socket.CountOn(point.Side) ? other.FirstNode + socket.FirstOn(point.Side) + point.Channel : -1;
    }

    private string In(Device device, string name)
    {
        var unit = device.Unit.Name;
        return Renamed.Count == 0 || !Renamed.TryGetValue(("unit", unit), out var now) ? name : now + name[unit.Length..];
    }
}
