using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>The tap points of strips, and their inserts. Gives PL0414 once per bus, and PL0317.</summary>
internal static class TapsCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        CheckTaps(plan, bag);
        CheckInserts(plan, bag);
    }

    private static void CheckTaps(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var unstated = new Dictionary<(Device, Socket), (int Count, int First)>();
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.UnstatedTap))
        {
            var hop = graph.HopOf(edge);
            if (hop.Kind != HopKind.Route || hop.IsInsert || hop.Tap != Tap.Unstated) continue;
            var from = plan.Rig.PointOf(graph.FromOf(edge));
            if (from.Socket.Sort != SocketSort.Strip) continue;
            var to = plan.Rig.PointOf(graph.ToOf(edge));
            if (to.Socket.Sort != SocketSort.Bus || plan.IsAllowed(FormatFindings.UnknownTap.Code, graph.BindingOf(edge).Statement)) continue;
            var key = (to.Device, to.Socket);
            unstated[key] = unstated.TryGetValue(key, out var known)
                ? (known.Count + 1, plan.Compare(plan.AnchorOf(edge), plan.AnchorOf(known.First)) < 0 ? edge : known.First)
                : (1, edge);
        }
        foreach (var ((device, socket), (count, first)) in unstated)
            bag.Add(
                FormatFindings.TapUnstated($"{device.Name}.{socket.Name}", count), plan.AnchorOf(first),
                new Anchor(device.Model.Gear.Statement, socket.Declaration.NameSpan), $"{socket.Name} states no usual tap");
    }

    private static void CheckInserts(Plan plan, DraftBag bag)
    {
        var taken = new Dictionary<int, List<(InsertStatement Insert, ActSet Acts)>>();
        var said = new HashSet<Statement>(ReferenceEqualityComparer.Instance);
        foreach (var (insert, binding) in plan.Signals.Inserts)
            foreach (var variant in binding.Variants)
            {
                if (variant.StopCount == 0) continue;
                foreach (var point in variant.PointsAt(0, plan.Rig))
                {
                    if (point.IsUnknown) continue;
                    if (!taken.TryGetValue(point.Node, out var users)) taken.Add(point.Node, users = []);
                    if (users.Find(u => u.Insert != insert && u.Acts.Meets(variant.Acts)) is { Insert: { } other } && said.Add(insert.Statement))
                        bag.Add(ChannelFindings.TwoInserts(point.ToString(), plan.During(variant.Acts)), insert.At(insert.Point.Span), other.At(other.Point.Span), "the other insert");
                    users.Add((insert, variant.Acts));
                }
            }
    }
}
