using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>Facts about the connections between units: cables and networks.</summary>
internal static class Joints
{
    /// <summary>Describes a cable that the plan does not declare, though a hop goes over it.</summary>
    public const string Undeclared = "any cable, length unknown";

    public static void Add(PlanSide side, FactTable facts)
    {
        foreach (var cable in side.Rig.Cables) Add(side, cable, facts);
        AddUndeclared(side, facts);
        foreach (var network in side.Rig.Networks) Add(side, network, facts);
    }

    /// <summary>Both ends of a cable; those of a two-way cable in an order that does not depend on how it was written.</summary>
    public static string Ends(PlanSide side, Connector from, Connector to, bool bothWays)
    {
        var (leaves, arrives) = (side.NameOf(from), side.NameOf(to));
        return bothWays && NaturalOrder.Instance.Compare(leaves, arrives) > 0 ? $"{arrives} to {leaves}" : $"{leaves} to {arrives}";
    }

    private static void Add(PlanSide side, Cable cable, FactTable facts)
    {
        var ends = Ends(side, cable.From, cable.To, cable.BothWays);
        var slots = side.Slots(cable.Acts);
        var way = cable.Loom is { } loom ? $"way {cable.Way} of {side.LoomName(loom.Name)}" : "";
        var length = (cable.Length ?? cable.Loom?.Length) is { } metres ? Quantity.Metres(metres) : "length unknown";
        var label = cable.Label is { } written ? $"\"{written}\"" : "";
        facts.Add(ChangeKind.Cable, ends, "", string.Join(", ", new[] { label, way, cable.Medium ?? "", length }.Where(w => w.Length > 0)), slots, Where);

        Place Where() => side.Plan.PlaceOf(cable);
    }

    /// <summary>Splits a cable's description into the quoted label and the rest.</summary>
    public static (string Label, string Remainder) Parted(string description) =>
        description.StartsWith('"') && description.LastIndexOf('"') is > 0 and var end ? (description[..(end + 1)], description[(end + 1)..].TrimStart(',', ' ')) : ("", description);

    private static void AddUndeclared(PlanSide side, FactTable facts)
    {
        var graph = side.Plan.Graph;
        for (var edge = 0; edge < graph.EdgeCount; edge++)
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            var (from, to, at) = (side.Rig.PointOf(graph.FromOf(edge)), side.Rig.PointOf(graph.ToOf(edge)), edge);
            if (to.Socket.Format is { IsDigital: false, Joins: Joining.Switched }) continue;
            facts.Add(ChangeKind.Cable, Ends(side, from.Connector, to.Connector, from.Socket.Format is { BothWays: true }), "", Undeclared, side.Slots(graph.ActsOf(edge)), () => side.Plan.PlaceOf(at));
        }
    }

    private static void Add(PlanSide side, Network network, FactTable facts)
    {
        var symbol = network.Symbol;
        var name = side.NetworkName(symbol.Name);
        var slots = side.Slots(symbol.Acts);
        foreach (var (device, socket) in network.Ports)
        {
            var port = $"{side.NameOf(device)}.{socket.Name}";
            facts.Add(ChangeKind.Join, port, name, "joined", slots & side.Slots(device.Acts), Where);
            if (network.LatencyAt(device, socket) is { } own && own != symbol.Latency) facts.Add(ChangeKind.NetworkSetting, name, $"latency at {port}", Milliseconds(own), slots, Where);
        }
        facts.Add(ChangeKind.NetworkSetting, name, "format", network.Format.Name, slots, Where);
        if (symbol.Latency is { } latency) facts.Add(ChangeKind.NetworkSetting, name, "latency", Milliseconds(latency), slots, Where);
        if (symbol.Link is { } link) facts.Add(ChangeKind.NetworkSetting, name, "link", $"{Quantity.Number(link / 1e6)} Mbit/s", slots, Where);
        if (network.Group != network) facts.Add(ChangeKind.NetworkSetting, name, "second leg of", side.NetworkName(network.Group.Symbol.Name), slots, Where);
        if (symbol.Label is { } label) facts.Add(ChangeKind.Label, name, "network", label, slots, Where);

        Place Where() => side.Plan.PlaceOf(symbol);
    }

    private static string Milliseconds(double seconds) => $"{Quantity.Number(seconds * 1e3)} ms";
}
