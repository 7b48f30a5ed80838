using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// Finds examples of ways that the compiler does not fill in, as the plan must choose them: over free routes, and over any channel of a network.
/// </summary>
internal static class FreeWay
{
    /// <summary>The most steps of one search: a near example is all that is needed.</summary>
    private const int MostSteps = 4_000;

    /// <summary>The ports on a shortest way between two points, such as <c>desk.expansion.net</c>; null if none is found.</summary>
    public static List<string>? Between(Rig rig, GraphPoint from, GraphPoint to, ActSet acts)
    {
        var start = new Port(from.Device, from.Socket, from.Side);
        var goal = new Port(to.Device, to.Socket, to.Side);
        var cameFrom = new Dictionary<Port, Port> { [start] = start };
        var open = new Queue<Port>([start]);
        var networks = new HashSet<Network>();
        var steps = 0;
        while (open.TryDequeue(out var at))
            foreach (var next in Next(rig, at, acts, networks))
            {
                if (++steps > MostSteps) return null;
                if (!cameFrom.TryAdd(next, at)) continue;
                if (next == goal) return Names(next);
                open.Enqueue(next);
            }
        return null;

        List<string> Names(Port end)
        {
            var names = new List<string>();
            for (var at = cameFrom[end]; at != start; at = cameFrom[at]) names.Insert(0, $"{at.Device.Name}.{at.Socket.Name}");
            return names;
        }
    }

    /// <summary>The ports that a port leads to. The members of each network are listed only once.</summary>
    private static IEnumerable<Port> Next(Rig rig, Port at, ActSet acts, HashSet<Network> networks)
    {
        if (at.Side != Side.Out)
        {
            for (var owner = at.Device; owner is not null; owner = owner.Host)
                foreach (var route in owner.Model.Routes)
                    if (route.From.Any(left => IsAt(owner, left, at)))
                        foreach (var right in route.To)
                            foreach (var next in Ends(owner, right)) yield return next;
            yield break;
        }
        if (rig.NetworkOf(at.Device, at.Socket, acts) is { } network && networks.Add(network))
            foreach (var member in network.Members)
                if (member.Socket.Has(Side.In) && member.Device != at.Device) yield return new Port(member.Device, member.Socket, Side.In);
        for (var number = 0; number * at.Socket.PerConnector(Side.Out) < at.Socket.OutCount; number++)
            if (rig.CablesFrom.TryGetValue(new Connector(at.Device, at.Socket, Side.Out, number), out var cables))
                foreach (var cable in cables)
                    if (cable.Acts.Meets(acts)) yield return new Port(cable.To.Device, cable.To.Socket, cable.To.Side);
    }

    private static bool IsAt(Device owner, RouteEnd end, Port at) =>
        end.Socket is { } socket ? at.Device == owner && at.Socket == socket
        : end.Slot is { } slot ? owner.Cards[slot.Index] == at.Device
        : !end.IsHost && at.Side == Side.In;

    /// <summary>The outputs, strips and buses that the right end of a route covers.</summary>
    private static IEnumerable<Port> Ends(Device owner, RouteEnd end)
    {
        if (end.Socket is { } socket) return [new Port(owner, socket, socket.IsInner ? Side.Inner : Side.Out)];
        if (end.Slot is { } slot) return owner.Cards[slot.Index] is { } card ? Outputs(card) : [];
        return end.IsHost ? [] : Outputs(owner).Concat(owner.Cards.OfType<Device>().SelectMany(Outputs));
    }

    private static IEnumerable<Port> Outputs(Device device) =>
        device.Model.Sockets.Where(s => s.Has(Side.Out)).Select(s => new Port(device, s, Side.Out));

    private readonly record struct Port(Device Device, Socket Socket, Side Side);
}
