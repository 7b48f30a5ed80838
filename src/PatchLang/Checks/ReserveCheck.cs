using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>
/// Sockets that are reserved because they are kept free, or are broken: using one gives a finding with the stated reason. Gives PL0901.
/// </summary>
internal static class ReserveCheck
{
    /// <summary>If several statements reserve one channel in the same acts, the most for which each use is reported.</summary>
    private const int MostOfOne = 16;

    public static void Check(Plan plan, DraftBag bag)
    {
        var times = new Dictionary<(int Node, ActSet Acts), int>();
        foreach (var reserve in Reservations(plan, bag))
        {
            var said = new HashSet<Statement>(ReferenceEqualityComparer.Instance);
            var nodes = reserve.Nodes.Where(IsToldAt).ToList();
            var (row, last) = (0, -1); // adjacent channels in use share a cause: whatever reserves or uses them names the wrong row
            foreach (var node in nodes.Order())
                foreach (var edge in UsesOf(plan.Graph, node, reserve.Acts))
                {
                    if (node > last + 1) row++;
                    last = node;
                    Say(plan.AnchorAt(edge, node), plan.Rig.PointOf(node).ToString(), plan.Graph.ActsOf(edge) & reserve.Acts);
                }
            // If no signal uses the sockets, reports the first cable plugged into them.
            if (said.Count == 0 && nodes.Count == reserve.Nodes.Count && nodes.SelectMany(n => CablesAt(plan.Rig, n)).Where(c => c.Acts.Meets(reserve.Acts)).MinBy(c => c.Index) is { } cable)
                Say(cable.Statement.At(Holds(cable.From) ? cable.Statement.From.Span : cable.Statement.To.Span), (Holds(cable.From) ? cable.From : cable.To).ToString(), cable.Acts & reserve.Acts);

            bool Holds(Connector connector) => reserve.Nodes.Contains(FirstNodeOf(connector));

            bool IsToldAt(int node) => (times[(node, reserve.Acts)] = times.GetValueOrDefault((node, reserve.Acts)) + 1) <= MostOfOne;

            void Say(Anchor at, string point, ActSet acts)
            {
                if (!said.Add(at.Statement)) return;
                var here = reserve.Statement.At(reserve.Statement.Point.Span);
                bag.Add(new Draft(CablingFindings.ReservedUsed(point, reserve.Statement.Why, plan.During(acts)), at)
                {
                    Related = [(here, "reserved here")],
                    Causes = [$"row {row} of {plan.PlaceOf(here.Statement)}"],
                });
            }
        }
    }

    /// <summary>The edges that use a channel: those that arrive there; else those of feeds that start at this unit; else all that leave.</summary>
    private static List<int> UsesOf(SignalGraph graph, int node, ActSet acts)
    {
        List<int> into = [.. graph.Into(node).ToArray().Where(e => graph.ActsOf(e).Meets(acts))];
        if (into.Count > 0) return into;
        List<int> outOf = [.. graph.OutOf(node).ToArray().Where(e => graph.ActsOf(e).Meets(acts))];
        var starts = outOf.FindAll(e => graph.FeedOf(e)?.Origin?.Tapped is { } tapped && graph.Rig.PointOf(node).Device.Unit.Name == tapped.Pick.Path.Steps[0].Name);
        return starts.Count > 0 ? starts : outOf;
    }

    private static int FirstNodeOf(Connector connector) =>
        connector.Device.NodeOf(connector.Socket, connector.Side, connector.Number * connector.Socket.PerConnector(connector.Side));

    /// <summary>The cables at a connector, given its first node.</summary>
    private static IEnumerable<Cable> CablesAt(Rig rig, int node)
    {
        var point = rig.PointOf(node);
        if (point.Side == Side.Inner || rig.FirstOnConnector(node) != node) return [];
        return (point.Side == Side.Out ? rig.CablesFrom : rig.CablesTo).GetValueOrDefault(point.Connector) ?? [];
    }

    /// <summary>What is reserved, channel by channel, with its acts.</summary>
    public static List<(ReserveStatement Statement, HashSet<int> Nodes, ActSet Acts)> Reservations(Plan plan, DraftBag bag)
    {
        var found = new List<(ReserveStatement, HashSet<int>, ActSet)>();
        foreach (var (file, statement) in plan.StatementsOf(NodeKind.Reserve))
        {
            if (ReserveStatement.Read(file, statement) is not { } reserve) continue;
            var acts = plan.Foundation.ActsOf(reserve.During, file, statement, bag);
            plan.Signals.Paths.CheckReach(reserve, acts, "reserve", [reserve.Point], bag);
            var nodes = new HashSet<int>();
            foreach (var part in ActClasses.Split(acts, (plan.Signals.Paths.Candidates(reserve.Point, file)?.All ?? []).Select(s => s.Acts)))
            {
                var start = plan.Signals.Paths.Start(reserve.Point, file, statement, part, bag);
                if (start.Symbol is FeedSymbol or BundleSymbol)
                {
                    bag.Add(NameFindings.OtherSort(start.Symbol.Name, start.Symbol.Sort, "socket to keep free"), reserve.At(reserve.Point.Span));
                    break;
                }
                if (plan.Signals.Paths.Socket(reserve.Point, start, statement, bag) is not { } target) break;
                foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
                    for (var i = 0; i < target.WidthOn(side) && target.Socket.CountOn(side) > 0; i++)
                    {
                        var (device, channel) = target.At(i, side);
                        if (channel < target.Socket.CountOn(side)) nodes.Add(device.NodeOf(target.Socket, side, channel));
                    }
            }
            if (nodes.Count > 0) found.Add((reserve, nodes, acts));
        }
        return found;
    }
}
