using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// On point-to-point links, one output connector feeds one input connector, and all channels of an input come from one far end. Declared
/// cables were checked when the rig was built; this checks the cables that hops imply. Gives PL0307 and PL0313.
/// </summary>
internal static class LinksCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var outs = new Dictionary<Connector, List<(Connector Far, int Edge)>>();
        var ins = new Dictionary<Connector, List<(Connector Far, int Edge)>>();
        var said = new HashSet<((int Owner, Hop), (int Owner, Hop))>();
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.PointToPoint))
            if (plan.Rig.SocketOf(graph.FromOf(edge)).Format is { Joins: Joining.PointToPoint } && graph.HopOf(edge).Kind == HopKind.ImpliedCable) Look(edge);

        void Look(int edge)
        {
            var from = plan.Rig.PointOf(graph.FromOf(edge));
            var to = plan.Rig.PointOf(graph.ToOf(edge));
            if (Other(outs, from.Connector, to.Connector, edge) is { } second)
                Say(second, edge, (during) => ChannelFindings.FeedsTwoPlaces(from.Connector.ToString(), to.Connector.ToString(), second.Far.ToString(), during), "the other place");
            if (Other(ins, to.Connector, from.Connector, edge) is { } far && !IsSameChannel(far.Edge, edge))
                Say(far, edge, (during) => ChannelFindings.FedFromTwo(to.Connector.ToString(), from.Connector.ToString(), far.Far.ToString(), during), "the other end");
        }

        // Two sources of one channel are reported by another check.
        bool IsSameChannel(int left, int right) => graph.ToOf(left) == graph.ToOf(right);

        (Connector Far, int Edge)? Other(Dictionary<Connector, List<(Connector Far, int Edge)>> known, Connector near, Connector far, int edge)
        {
            if (!known.TryGetValue(near, out var list)) known.Add(near, list = []);
            foreach (var other in list)
                if (other.Far != far && graph.ActsOf(other.Edge).Meets(graph.ActsOf(edge))) return other;
            if (!list.Exists(o => o.Far == far && graph.ActsOf(o.Edge).Covers(graph.ActsOf(edge)))) list.Add((far, edge));
            return null;
        }

        void Say((Connector Far, int Edge) other, int edge, Func<string, FindingMessage> message, string remark)
        {
            var (first, second) = (other.Edge, edge);
            if (plan.Compare(plan.AnchorOf(first), plan.AnchorOf(second)) > 0) (first, second) = (second, first);
            if (!said.Add((graph.OwnHopOf(first), graph.OwnHopOf(second)))) return;
            bag.Add(message(plan.During(graph.ActsOf(first) & graph.ActsOf(second))), plan.AnchorOf(second), plan.AnchorOf(first), remark);
        }
    }
}
