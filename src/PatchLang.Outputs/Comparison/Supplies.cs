using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Comparison;

/// <summary>Where phantom power is switched on, for which sources, and which cables carry it.</summary>
internal sealed class Supplies
{
    private readonly PlanSide side;
    private readonly Dictionary<string, List<(string Supply, UInt128 Slots)>> atSource = new(StringComparer.Ordinal);
    private readonly Dictionary<string, List<(string Supply, UInt128 Slots)>> onCable = new(StringComparer.Ordinal);

    public Supplies(PlanSide side, FactTable facts)
    {
        this.side = side;
        foreach (var way in side.Plan.Ways)
        {
            if (way.Feed?.HasPhantom != true || way.IsUnknown) continue;
            for (var element = 0; element < way.Count; element++)
                if (!way.IsAbsent(element) && way.StopsOf(element) is [var start, ..]) Follow(way, start.Point.Node, facts);
        }
    }

    /// <summary>The inputs that supply a socket, or a cable named by both its ends, in some acts.</summary>
    public IEnumerable<string> At(string socketOrCable, UInt128 slots) =>
        Held(atSource, socketOrCable, slots).Concat(Held(onCable, socketOrCable, slots)).Distinct();

    private static IEnumerable<string> Held(Dictionary<string, List<(string Supply, UInt128 Slots)>> all, string name, UInt128 slots) =>
        all.TryGetValue(name, out var list) ? list.Where(s => (s.Slots & slots) != 0).Select(s => s.Supply) : [];

    /// <summary>Follows a source to the first input that can supply it; all cables between carry phantom power.</summary>
    private void Follow(FeedWay way, int start, FactTable facts)
    {
        var graph = side.Plan.Graph;
        var slots = side.Slots(way.Acts);
        var source = Source(start, way.Acts);
        var cameBy = new Dictionary<int, int> { [source] = -1 };
        var open = new Queue<int>(cameBy.Keys);
        while (open.TryDequeue(out var node))
        {
            var point = side.Rig.PointOf(node);
            if (point.Side == Side.In && point.Socket.Settings.Has("phantom"))
            {
                Take(node, source, cameBy, way, slots, facts);
                return;
            }
            // An output that blocks phantom power is a leg of a split: another input supplies the source.
            if (point.Socket.IsInner || (point.Side == Side.Out && node != source && !point.Socket.Settings.Has("passes_phantom"))) continue;
            foreach (var edge in graph.OutOf(node))
                if (graph.ActsOf(edge).Meets(way.Acts) && cameBy.TryAdd(graph.ToOf(edge), edge)) open.Enqueue(graph.ToOf(edge));
        }
        // If nothing on the way supplies it, a power supply at the source must.
        var name = side.NameOf(side.Rig.PointOf(source));
        Remember(atSource, name, name, slots);
        facts.Add(ChangeKind.Phantom, name, "", "on", slots, () => way.Place);
    }

    private void Take(int supply, int source, Dictionary<int, int> cameBy, FeedWay way, UInt128 slots, FactTable facts)
    {
        var name = side.NameOf(side.Rig.PointOf(supply));
        Remember(atSource, side.NameOf(side.Rig.PointOf(source)), name, slots);
        facts.Add(ChangeKind.Phantom, name, "", "on", slots, () => way.Place);
        var graph = side.Plan.Graph;
        for (var at = supply; cameBy[at] is >= 0 and var edge; at = graph.FromOf(edge))
        {
            if (!graph.HopOf(edge).IsLink) continue;
            var (from, to) = (side.Rig.PointOf(graph.FromOf(edge)), side.Rig.PointOf(graph.ToOf(edge)));
            Remember(onCable, Joints.Ends(side, from.Connector, to.Connector, bothWays: false), name, slots);
        }
    }

    private int Source(int node, ActSet acts)
    {
        var graph = side.Plan.Graph;
        var seen = new HashSet<int>();
        while (seen.Add(node))
            foreach (var edge in graph.Into(node))
            {
                if (!graph.ActsOf(edge).Meets(acts)) continue;
                node = graph.FromOf(edge);
                break;
            }
        return node;
    }

    private static void Remember(Dictionary<string, List<(string, UInt128)>> all, string key, string supply, UInt128 slots) =>
        (all.TryGetValue(key, out var list) ? list : all[key] = []).Add((supply, slots));
}
