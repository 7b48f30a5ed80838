using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>Routes that gear makes only in blocks: a block must go to a block, whole and in order. Gives PL0308.</summary>
internal static class BlocksCheck
{
    /// <summary>The most places listed: enough for the pattern to be clear.</summary>
    private const int MostShown = 3;

    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var blocks = new Dictionary<(Device, Socket, Side, int), (GraphPoint From, int Edge)>();
        var said = new HashSet<(int Owner, Hop)>();
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.Blocks))
        {
            var hop = graph.HopOf(edge);
            if (hop.Route is not { Block: > 1 } route) continue;
            var (from, to) = (plan.Rig.PointOf(graph.FromOf(edge)), plan.Rig.PointOf(graph.ToOf(edge)));
            var size = route.Block;
            var isCrooked = from.Channel % size != to.Channel % size;
            var key = (to.Device, to.Socket, to.Side, to.Channel / size);
            if (!isCrooked)
            {
                if (!blocks.TryGetValue(key, out var first))
                {
                    blocks.Add(key, (from, edge));
                    continue;
                }
                var isSame = first.From.Device == from.Device && first.From.Socket == from.Socket && first.From.Channel / size == from.Channel / size;
                if (isSame || !graph.ActsOf(first.Edge).Meets(graph.ActsOf(edge))) continue;
            }
            if (!said.Add(graph.OwnHopOf(edge))) continue;
            bag.Add(
                ChannelFindings.NotAsABlock(from.ToString(), to.ToString(), to.Device.Outermost.Model.Gear.Name, size, Every(size, 1, to.Socket.CountOn(to.Side)), isCrooked ? Places(from, to, size) : null), plan.AnchorOf(edge),
                new Anchor(Owner(from.Device, route).Model.Gear.Statement, route.Span), "the route");
        }
    }

    /// <summary>The places a channel can go to: its own position in any block. Empty where the socket is too short for that.</summary>
    private static string Places(GraphPoint from, GraphPoint to, int size)
    {
        var (first, last) = (from.Channel % size + 1, to.Socket.CountOn(to.Side));
        return first > last ? "" : $"{to.Device.Name}.{to.Socket.Name}[{Every(size, first, last)}]";
    }

    private static string Every(int size, int first, int last)
    {
        var all = new List<int>();
        for (var at = first; at <= last && all.Count < MostShown; at += size) all.Add(at);
        return string.Join(", ", all) + (first + MostShown * size <= last ? " …" : "");
    }

    private static Device Owner(Device device, Route route)
    {
        var owner = device;
        while (owner.Host is { } host && !owner.Model.Routes.Contains(route)) owner = host;
        return owner;
    }
}
