using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>
/// Performers' own mixers: sockets at which someone listens, in a unit that mixes freely what comes in there, where the
/// plan does not hold the mix itself.
/// </summary>
internal static class OwnMixers
{
    /// <summary>For each of them, the nodes of the channels that arrive.</summary>
    public static IEnumerable<int[]> Of(SignalGraph graph, SignalOrder order)
    {
        var sockets = new Dictionary<GearModel, Socket[]>(ReferenceEqualityComparer.Instance);
        foreach (var device in graph.Rig.Devices)
        {
            if (!sockets.TryGetValue(device.Model, out var mixed)) sockets.Add(device.Model, mixed = [.. device.Model.Sockets.Where(s => IsMixed(device.Model, s))]);
            foreach (var socket in mixed)
                if (Arriving(graph, order, device, socket) is { Length: > 1 } nodes) yield return nodes;
        }
    }

    /// <summary>Whether a rig has such a socket.</summary>
    public static bool AreThere(Rig rig)
    {
        var seen = new HashSet<GearModel>(ReferenceEqualityComparer.Instance);
        foreach (var device in rig.Devices)
        {
            if (!seen.Add(device.Model)) continue;
            foreach (var socket in device.Model.Sockets)
                if (IsMixed(device.Model, socket)) return true;
        }
        return false;
    }

    private static bool IsMixed(GearModel model, Socket socket)
    {
        if (socket.IsInner || socket.InCount < 2 || !socket.Settings.Has("listener")) return false;
        foreach (var route in model.Routes)
            if (route.Sort == RouteSort.Free && route.From.Any(e => e.IsAny || e.Socket == socket) && route.To.Any(e => e.Socket is { Sort: SocketSort.Bus })) return true;
        return false;
    }

    private static int[]? Arriving(SignalGraph graph, SignalOrder order, Device device, Socket socket)
    {
        var nodes = new List<int>();
        for (var channel = 0; channel < socket.InCount; channel++)
        {
            var node = device.NodeOf(socket, Side.In, channel);
            foreach (var edge in graph.OutOf(node))
                if (graph.ActsOf(edge).Meets(order.Acts) && graph.Rig.PointOf(graph.ToOf(edge)).Socket.Sort == SocketSort.Bus) return null;
            foreach (var edge in graph.Into(node))
            {
                if (!graph.ActsOf(edge).Meets(order.Acts)) continue;
                nodes.Add(node);
                break;
            }
        }
        return [.. nodes];
    }
}
