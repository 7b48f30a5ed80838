using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>The buses that time-align their sources automatically, which gear declares with <c>aligned</c>.</summary>
internal sealed class AlignedBuses
{
    private readonly HashSet<int>? nodes;

    private AlignedBuses(HashSet<int>? nodes) => this.nodes = nodes;

    public bool Contains(int node) => nodes is not null && nodes.Contains(node);

    public static AlignedBuses Of(Rig rig)
    {
        HashSet<int>? found = null;
        foreach (var device in rig.Devices)
            foreach (var socket in device.Model.Sockets)
            {
                if (!socket.IsInner || !socket.Settings.Has("aligned")) continue;
                for (var channel = 0; channel < socket.InnerCount; channel++) (found ??= []).Add(device.NodeOf(socket, Declarations.Side.Inner, channel));
            }
        return new AlignedBuses(found);
    }
}
