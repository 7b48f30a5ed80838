using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>Routes that gear makes only in blocks: a block goes to a block, whole and in order. Gives PL0308.</summary>
internal static class BlocksCheck
{
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
                ChannelFindings.NotAsABlock(from.ToString(), to.ToString(), to.Device.Outermost.Model.Gear.Name, size, isCrooked), plan.AnchorOf(edge),
                new Anchor(Owner(from.Device, route).Model.Gear.Statement, route.Span), "the route");
        }
    }

    private static Device Owner(Device device, Route route)
    {
        var owner = device;
        while (owner.Host is { } host && !owner.Model.Routes.Contains(route)) owner = host;
        return owner;
    }
}
