using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Outputs.Comparison;

/// <summary>Facts about the signals: which there are, where their sources are plugged in, and their settings.</summary>
internal static class Signals
{
    public static void Add(PlanSide side, FactTable facts)
    {
        foreach (var way in side.Plan.Ways)
        {
            if (way.Feed is not { } feed) continue;
            var slots = side.Slots(way.Acts);
            var name = side.FeedName(way.Name);
            if (way.IsUnknown) side.Broken.TryAdd(name, way.Place);
            for (var element = 0; element < way.Count; element++) Add(side, way, element, slots, facts);
            foreach (var setting in feed.Settings.All)
                if (setting.Name != "phantom") facts.Add(ChangeKind.FeedSetting, name, setting.Name, Equipment.ValueOf(setting), slots, () => way.Place);
        }
        foreach (var reservation in side.Plan.Reservations)
            foreach (var node in reservation.Nodes)
                facts.Add(ChangeKind.Reserve, side.NameOf(side.Rig.PointOf(node)), "", reservation.Why, side.Slots(reservation.Acts), () => reservation.Place);
    }

    private static void Add(PlanSide side, FeedWay way, int element, UInt128 slots, FactTable facts)
    {
        if (way.IsAbsent(element)) return;
        if (way.IsBroken(element)) side.Broken.TryAdd(side.FeedName(way.Name), way.Place);
        var name = side.NameOf(way, element);
        facts.Add(ChangeKind.Signal, name, "", "there", slots, Where);
        if (way.Origin == WayOrigin.Socket && way.StopsOf(element) is [var start, ..])
        {
            var socket = side.NameOf(start.Point);
            if (start.Point.Side == Side.In) side.Plugged.Add(socket);
            (side.SocketsOf.TryGetValue(side.FeedName(way.Name), out var sockets) ? sockets : side.SocketsOf[side.FeedName(way.Name)] = []).Add(socket);
            facts.Add(ChangeKind.Source, name, "", socket, slots, Where);
        }
        if (way.Feed!.Labels.Length > 0 && way.LabelOf(element) is { } label) facts.Add(ChangeKind.Label, name, "signal", label, slots, Where);

        Place Where() => way.Place;
    }
}
