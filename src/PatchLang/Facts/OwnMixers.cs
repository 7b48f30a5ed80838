using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>
/// Performers' own mixers: sockets with a listener, on a unit that can freely mix what arrives there, when the
/// plan does not specify the mix itself.
/// </summary>
internal static class OwnMixers
{
    /// <summary>For each of them, the nodes of the channels that arrive.</summary>
    public static IEnumerable<int[]> Of(SignalGraph graph, SignalOrder order)
    {
        foreach (var device in graph.Rig.Devices)
            foreach (var socket in device.Model.OwnMixers)
                if (Arriving(graph, order, device, socket) is { Length: > 1 } nodes) yield return nodes;
    }

    /// <summary>Whether a rig has such a socket.</summary>
    public static bool AreThere(Rig rig)
    {
        foreach (var device in rig.Devices)
            if (!device.Model.OwnMixers.IsEmpty) return true;
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
