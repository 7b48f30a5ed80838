using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>The delay of gear's internal routes: of the figures that match both ends, the most specific one.</summary>
internal static class RouteDelay
{
    /// <param name="route">The route that is taken.</param>
    /// <param name="leaves">The point where it starts.</param>
    /// <param name="arrives">The point where it ends.</param>
    /// <param name="isByChannel">Whether other channels of the same sockets may have another delay.</param>
    public static Delay Of(Route route, GraphPoint leaves, GraphPoint arrives, out bool isByChannel)
    {
        isByChannel = false;
        var owner = OwnerOf(route, leaves.Device);
        var delay = Figure(owner, leaves, arrives, ref isByChannel) is { } figure
            ? new Delay(figure.Earliest, figure.Latest)
            : new Delay(0, 0, new Unsettled($"latency {NameIn(owner, leaves)} -> {NameIn(owner, arrives)}", owner.Model.Gear));
        // A card declares its own latency into or out of its host, which comes on top.
        for (var card = leaves.Device; card != owner; card = card.Host!) delay += OwnOf(card, leaves, isIntoHost: true, ref isByChannel);
        for (var card = arrives.Device; card != owner; card = card.Host!) delay += OwnOf(card, arrives, isIntoHost: false, ref isByChannel);
        return delay;
    }

    private static Device OwnerOf(Route route, Device device)
    {
        var owner = device;
        while (owner.Host is { } host && !owner.Model.Routes.Contains(route)) owner = host;
        return owner;
    }

    private static string NameIn(Device owner, GraphPoint point)
    {
        var at = point.Device;
        if (at == owner) return point.Socket.Name;
        while (at.Host != owner) at = at.Host!;
        return at.Slot!.Name;
    }

    private static LatencyFigure? Figure(Device owner, GraphPoint leaves, GraphPoint arrives, ref bool isByChannel)
    {
        LatencyFigure? best = null;
        var closest = -1;
        foreach (var figure in owner.Model.Latencies)
        {
            var (left, right) = (Closeness(owner, figure.From, leaves, ref isByChannel), Closeness(owner, figure.To, arrives, ref isByChannel));
            if (left < 0 || right < 0 || left + right <= closest) continue;
            (best, closest) = (figure, left + right);
        }
        return best;
    }

    private static Delay OwnOf(Device card, GraphPoint point, bool isIntoHost, ref bool isByChannel)
    {
        LatencyFigure? best = null;
        var closest = -1;
        foreach (var figure in card.Model.Latencies)
        {
            var (own, other) = isIntoHost ? (figure.From, figure.To) : (figure.To, figure.From);
            if (!other.IsHost || Closeness(card, own, point, ref isByChannel) is not (>= 0 and var closeness) || closeness <= closest) continue;
            (best, closest) = (figure, closeness);
        }
        return best is null ? Delay.None : new Delay(best.Earliest, best.Latest);
    }

    /// <summary>How specifically an end matches a point: 3 by channel, 2 by socket, 1 by slot, 0 as any; −1 if it does not match.</summary>
    private static int Closeness(Device owner, RouteEnd end, GraphPoint point, ref bool isByChannel)
    {
        if (end.IsHost) return -1;
        if (end.Socket is { } socket)
        {
            if (point.Device != owner || point.Socket != socket) return -1;
        }
        else if (end.Slot is { } slot)
        {
            if (owner.Cards.IsEmpty || owner.Cards[slot.Index] != point.Device) return -1;
        }
        else if (point.Socket.IsInner) return -1;
        if (end.Channels.IsEmpty) return end.Closeness;
        isByChannel = true;
        foreach (var (first, last) in end.Channels)
            if (point.Channel >= first && point.Channel < last) return end.Closeness;
        return -1;
    }
}
