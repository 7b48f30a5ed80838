using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Queries;

/// <summary>The free channels of a socket: those that no signal uses in any act, and that are not reserved.</summary>
public static class FreeChannels
{
    private const int MostSockets = 6;

    /// <summary>The free channels of a socket on a side; counted from 0.</summary>
    public static List<int> Of(PlanQueries queries, Device device, Socket socket, Side side)
    {
        var free = new List<int>();
        for (var channel = 0; channel < socket.CountOn(side); channel++)
            if (device.NodeOf(socket, side, channel) is var node && !queries.Plan.Graph.IsUsed(node) && !queries.Reserved.Contains(node)) free.Add(channel);
        return free;
    }

    /// <summary>The free channels of a unit and its cards, socket by socket, as a plan writes them; null if there is nothing to say.</summary>
    /// <remarks>Buses are left out, since they take any number of sources; if the unit has several pieces, the first is described.</remarks>
    public static string? Summary(PlanQueries queries, UnitSymbol unit)
    {
        if (queries.Plan.Rig.DevicesOf(unit) is not [var first, ..] devices) return null;
        var parts = new List<string>();
        Add(first, "");
        if (parts.Count == 0) return null;
        var text = string.Join(", ", parts.Take(MostSockets)) + (parts.Count > MostSockets ? ", …" : "");
        return devices.Length > 1 ? $"{text} of {first.Name}" : text;

        void Add(Device device, string path)
        {
            foreach (var socket in device.Model.Sockets)
            {
                if (socket.Sort == SocketSort.Bus) continue;
                foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
                {
                    if (socket.CountOn(side) is not (> 0 and var count)) continue;
                    var free = Of(queries, device, socket, side);
                    var word = socket.Has(Side.In) && socket.Has(Side.Out) ? side == Side.In ? " in" : " out" : "";
                    if (free.Count > 0) parts.Add($"{path}{socket.Name}{(count == 1 ? "" : $"[{Description.Ranges(free)}]")}{word}");
                }
            }
            foreach (var slot in device.Model.Slots)
                if (device.Cards[slot.Index] is { } card) Add(card, $"{path}{slot.Name}.");
        }
    }
}
