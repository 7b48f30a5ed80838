using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// Both ends of a digital link must run at one rate unless the receiver resamples, and the format must carry that rate. Gives PL0405 and PL0409.
/// </summary>
internal static class RatesCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var used = new Dictionary<(Device, Socket), Anchor>();
        var pairs = new HashSet<(Device, Socket, Device, Socket)>();
        foreach (var network in plan.Rig.Networks) CheckMembers(plan, network, Use, bag);
        foreach (var cable in plan.Rig.Cables)
            CheckPair(cable.From.Device, cable.From.Socket, cable.To.Device, cable.To.Socket, cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span)));
        var graph = plan.Graph;
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.Rates))
        {
            if (edge > 0 && graph.OwnHopOf(edge - 1) == graph.OwnHopOf(edge)) continue;
            var hop = graph.HopOf(edge);
            var (from, to) = (plan.Rig.PointOf(graph.FromOf(edge)), plan.Rig.PointOf(graph.ToOf(edge)));
            if (hop.Kind == HopKind.ImpliedCable) CheckPair(from.Device, from.Socket, to.Device, to.Socket, plan.AnchorOf(edge));
            if (hop.IsLink) continue;
            Use(from.Device, from.Socket, plan.AnchorOf(edge));
            Use(to.Device, to.Socket, plan.AnchorOf(edge));
        }
        var said = new HashSet<Anchor>();
        foreach (var ((device, socket), at) in used)
            if (socket.Format is { } format && said.Add(at))
                bag.Add(new Draft(FormatFindings.RateNotCarriedBy($"{device.Name}.{socket.Name}", format.Name, socket.Rate), at)
                {
                    Related = [(format.Anchor, $"{format.Name} is declared here")],
                    Causes = [OtherRates.NotCarriedBy(format)],
                });

        void Use(Device device, Socket socket, Anchor at)
        {
            if (socket.CarriesNothing) used.TryAdd((device, socket), at);
        }

        void CheckPair(Device left, Socket from, Device right, Socket to, Anchor at)
        {
            Use(left, from, at);
            Use(right, to, at);
            if (from.Format is not { IsDigital: true } || from.Rate == to.Rate || to.Resamples) return;
            if (from.CarriesNothing || from.Format.ChannelsAt(to.Rate) == 0) return;
            if (!pairs.Add((left, from, right, to))) return;
            // The cause is the unit that does not run at the plan's rate.
            (UnitSymbol Unit, double Rate)[] sides = [(left.Unit, from.Rate), (right.Unit, to.Rate)];
            var astray = Array.FindAll(sides, s => s.Rate != plan.Foundation.Rate);
            bag.Add(new Draft(FormatFindings.RatesDifferOn($"{left.Name}.{from.Name}", from.Rate, $"{right.Name}.{to.Name}", to.Rate), at)
            {
                Related = [(left.Unit.Anchor, $"{left.Unit.Name} runs at {Text.Quantity.Frequency(from.Rate)}"), (right.Unit.Anchor, $"{right.Unit.Name} runs at {Text.Quantity.Frequency(to.Rate)}")],
                Causes = [string.Join(" and ", astray.Select(s => $"{s.Unit.Name} at {s.Rate}"))],
                Explains = [.. astray.Select(s => OtherRates.Of(s.Unit))],
            });
        }
    }

    /// <summary>Members of a network share a rate: the commonest among them is taken as the network's.</summary>
    private static void CheckMembers(Plan plan, Network network, Action<Device, Socket, Anchor> use, DraftBag bag)
    {
        foreach (var member in network.Members) use(member.Device, member.Socket, member.Where.Anchor);
        if (!network.Format.IsDigital || network.Members.Count == 0) return;
        var common = CommonRate(plan, network);
        foreach (var member in network.Members)
        {
            if (member.Socket.Rate == common || member.Socket.Resamples || network.Format.ChannelsAt(member.Socket.Rate) == 0) continue;
            bag.Add(new Draft(
                FormatFindings.MemberRate($"{member.Device.Name}.{member.Socket.Name}", member.Socket.Rate, network.Symbol.Name, common), member.Where.Anchor)
            {
                Related = [(member.Device.Unit.Anchor, $"{member.Device.Unit.Name} runs at {Text.Quantity.Frequency(member.Socket.Rate)}")],
                Causes = [$"{member.Device.Unit.Name} at {member.Socket.Rate}"],
                Explains = [OtherRates.Of(member.Device.Unit)],
            });
        }
    }

    /// <summary>The rate of a network that has members: the commonest among them, in Hz.</summary>
    public static double CommonRate(Plan plan, Network network) =>
        network.Members.GroupBy(m => m.Socket.Rate).OrderByDescending(g => g.Count()).ThenBy(g => g.Key == plan.Foundation.Rate ? 0 : 1).ThenBy(g => g.Key).First().Key;
}
