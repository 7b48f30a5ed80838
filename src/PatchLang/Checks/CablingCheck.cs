using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>Checks of the cables themselves: connectors, long unbalanced runs, unknown lengths. Gives PL0905, PL0906 and PL0907.</summary>
internal static class CablingCheck
{
    /// <summary>The longest advisable run of an unbalanced line, in metres. Common practice, no source.</summary>
    private const double LongestUnbalanced = 5;

    // A wireless link has no cable whose length could be asked for.
    private static bool IsOfAir(FormatSymbol? format)
    {
        if (format is null || format.Media.IsEmpty) return false;
        foreach (var medium in format.Media)
            if (medium.Name is not ("air" or "infrared")) return false;
        return true;
    }

    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var unknown = new List<(Connector From, Connector To, Anchor At)>();
        var seen = new HashSet<(Connector, Connector)>();
        var pairs = new HashSet<(Socket, Socket)>();
        foreach (var cable in plan.Rig.Cables)
        {
            var at = cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span));
            CheckEnds(cable.From, cable.To, cable.Length, at);
            // A loom that could not be resolved may well state the length.
            var isUnknownLoom = cable is { Statement.By: not null, Loom: null, Medium: null };
            if (cable.Length is null && !isUnknownLoom && !cable.Statement.HasWrongLength && cable.Loom is not { HasWrongLength: true } && !IsOfAir(cable.From.Socket.Format) && seen.Add((cable.From, cable.To)) && !IsAllowed(cable.Statement.Statement)) unknown.Add((cable.From, cable.To, at));
        }
        // Hops over undeclared cables: there can be very many, so only the first and their number are kept.
        var (count, firstEdge) = (0, -1);
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.ImpliedCable))
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            var (leaves, arrives) = (plan.Rig.SocketOf(graph.FromOf(edge)), plan.Rig.SocketOf(graph.ToOf(edge)));
            if (leaves.Connector is not null && arrives.Connector is not null) CheckEnds(From(edge), To(edge), null, plan.AnchorOf(edge));
            if (plan.Rig.HasBrokenCables || IsOfAir(leaves.Format) || (seen.Count > 0 && seen.Contains((From(edge), To(edge)))) || IsCountedBefore(edge)) continue;
            if (plan.Allows.Count > 0 && IsAllowed(graph.BindingOf(edge).Statement)) continue;
            count++;
            if (firstEdge < 0 || plan.CompareEdges(edge, firstEdge) < 0) firstEdge = edge;
        }
        if (firstEdge >= 0) unknown.Add((From(firstEdge), To(firstEdge), plan.AnchorOf(firstEdge)));
        if (unknown.Count == 0) return;
        var first = unknown[0];
        for (var i = 1; i < unknown.Count; i++)
            if (plan.Compare(unknown[i].At, first.At) < 0) first = unknown[i];
        var all = unknown.Count + Math.Max(0, count - 1);
        bag.Add(new Draft(CablingFindings.LengthsUnknown(all, first.From.ToString(), first.To.ToString()), first.At)
        {
            // Once the missing cable is declared, it will state its length.
            FollowsFrom = all == 1 ? [MissingCables.Between(PortOf(first.From), PortOf(first.To))] : [],
        });

        static string PortOf(Connector connector) => $"{connector.Device.Name}.{connector.Socket.Name}";

        Connector From(int edge) => plan.Rig.PointOf(graph.FromOf(edge)).Connector;

        Connector To(int edge) => plan.Rig.PointOf(graph.ToOf(edge)).Connector;

        // Whether an earlier edge uses the same cable: another channel of the same connector, or the opposite direction of a two-way cable.
        bool IsCountedBefore(int edge)
        {
            if (IsAhead(edge, plan.Rig.FirstOnConnector(graph.FromOf(edge)), plan.Rig.FirstOnConnector(graph.ToOf(edge)))) return true;
            if (plan.Rig.SocketOf(graph.FromOf(edge)).Format is not { BothWays: true }) return false;
            return FirstOn(To(edge), Side.Out) is >= 0 and var start && FirstOn(From(edge), Side.In) is >= 0 and var end && IsAhead(edge, start, end);
        }

        static int FirstOn(Connector connector, Side side)
        {
            var (device, socket) = (connector.Device, connector.Socket);
            var channel = connector.Number * socket.PerConnector(side);
            return channel < socket.CountOn(side) ? device.NodeOf(socket, side, channel) : -1;
        }

        bool IsAhead(int edge, int start, int end)
        {
            for (var node = start; node < graph.NodeCount && plan.Rig.FirstOnConnector(node) == start; node++)
                foreach (var other in graph.OutOf(node))
                {
                    if (other >= edge) break;
                    if (plan.Rig.FirstOnConnector(graph.ToOf(other)) == end && graph.HopOf(other).Kind == HopKind.ImpliedCable) return true;
                }
            return false;
        }

        bool IsAllowed(Statement statement) => plan.Allows.Count > 0 && plan.IsAllowed(CablingFindings.LengthUnknown.Code, statement);

        void CheckEnds(Connector from, Connector to, double? length, Anchor at)
        {
            if (length > LongestUnbalanced && (from.Socket.Settings.Has("unbalanced") || to.Socket.Settings.Has("unbalanced"))
                && !from.Socket.Settings.Has("isolated") && !to.Socket.Settings.Has("isolated") && pairs.Add((from.Socket, to.Socket)))
                bag.Add(CablingFindings.UnbalancedRun(from.ToString(), to.ToString(), length.Value, LongestUnbalanced), at);
            if (from.Socket.Connector is { } left && to.Socket.Connector is { } right && left != right && pairs.Add((to.Socket, from.Socket)))
                bag.Add(CablingFindings.OtherConnectors(from.ToString(), left, to.ToString(), right), at);
        }
    }
}
