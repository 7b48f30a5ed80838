using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>Limits of gear that span several sockets and slots, counted in distinct channels used per act. Gives PL0303 and PL0316.</summary>
internal static class LimitsCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        foreach (var device in plan.Rig.Devices)
            foreach (var limit in device.Model.Limits)
                Check(plan, device, limit, bag);
    }

    private static void Check(Plan plan, Device device, ChannelLimit limit, DraftBag bag)
    {
        var fitted = 0;
        var users = new List<(int Node, int Edge, string Through)>();
        foreach (var (owner, socket, name) in Through(device, limit))
        {
            var count = socket.CountOn(limit.Side);
            fitted += count;
            for (var channel = 0; channel < count; channel++)
            {
                var node = owner.NodeOf(socket, limit.Side, channel);
                foreach (var edge in plan.Graph.Into(node)) users.Add((node, edge, name));
                foreach (var edge in plan.Graph.OutOf(node)) users.Add((node, edge, name));
            }
        }
        var isOver = plan.Foundation.AllActs.Each.Any(SayIfOver);
        if (!isOver && fitted > limit.Count && device.Element == 0)
            bag.Add(
                ChannelFindings.MoreFitted(device.Name, fitted, limit.Count, limit.Side == Side.In, [.. limit.Through]), device.Unit.Anchor,
                new Anchor(device.Model.Gear.Statement, limit.Span), "the limit");

        bool SayIfOver(ActSet act)
        {
            var used = users.Where(u => plan.Graph.ActsOf(u.Edge).Meets(act)).ToList();
            var distinct = used.Select(u => u.Node).Distinct().Count();
            if (distinct <= limit.Count) return false;
            used.Sort((a, b) => plan.Compare(plan.AnchorOf(a.Edge), plan.AnchorOf(b.Edge)));
            var seen = new HashSet<int>();
            foreach (var (node, edge, _) in used)
            {
                seen.Add(node);
                if (seen.Count <= limit.Count) continue;
                var through = limit.Through.Select(name => (name, used.Where(u => u.Through == name).Select(u => u.Node).Distinct().Count())).ToArray();
                bag.Add(
                    ChannelFindings.OverLimit(device.Name, distinct, limit.Count, limit.Side == Side.In, through, plan.During(act)), plan.AnchorOf(edge),
                    new Anchor(device.Model.Gear.Statement, limit.Span), "the limit");
                break;
            }
            return true;
        }
    }

    private static IEnumerable<(Device Owner, Socket Socket, string Name)> Through(Device device, ChannelLimit limit)
    {
        foreach (var name in limit.Through)
            if (device.Model.SocketOf(name) is { } socket) yield return (device, socket, name);
            else if (device.Model.SlotOf(name) is { } slot && device.Cards[slot.Index] is { } card)
                foreach (var each in card.Model.Sockets)
                    if (!each.IsInner) yield return (card, each, name);
    }
}
