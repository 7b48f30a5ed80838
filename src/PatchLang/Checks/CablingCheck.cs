using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>What is said of cables as such: connectors, long unbalanced runs, unknown lengths. Gives PL0905, PL0906 and PL0907.</summary>
internal static class CablingCheck
{
    /// <summary>The longest run of an unbalanced line that is advised, in metres. Common practice, no source.</summary>
    private const double LongestUnbalanced = 5;

    public static void Check(Plan plan, DraftBag bag)
    {
        var unknown = new List<(Connector From, Connector To, Anchor At)>();
        var seen = new HashSet<(Connector, Connector)>();
        var pairs = new HashSet<(Socket, Socket)>();
        foreach (var cable in plan.Rig.Cables)
        {
            var at = cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span));
            CheckEnds(cable.From, cable.To, cable.Length, at);
            if (cable.Length is null) Unknown(cable.From, cable.To, at);
        }
        var graph = plan.Graph;
        for (var edge = 0; edge < graph.EdgeCount; edge++)
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            var (from, to) = (plan.Rig.PointOf(graph.FromOf(edge)), plan.Rig.PointOf(graph.ToOf(edge)));
            var at = plan.AnchorOf(edge);
            CheckEnds(from.Connector, to.Connector, null, at);
            if (!plan.Rig.HasBrokenCables) Unknown(from.Connector, to.Connector, at);
        }
        unknown.RemoveAll(u => plan.IsAllowed(CablingFindings.LengthUnknown.Code, u.At.Statement));
        if (unknown.Count == 0) return;
        var first = unknown[0];
        foreach (var each in unknown)
            if (plan.Compare(each.At, first.At) < 0) first = each;
        bag.Add(CablingFindings.LengthsUnknown(unknown.Count, first.From.ToString(), first.To.ToString()), first.At);

        void Unknown(Connector from, Connector to, Anchor at)
        {
            // What goes through the air has no length to pull.
            if (from.Socket.Format is { Media.IsEmpty: false } format && format.Media.All(m => m.Name is "air" or "infrared")) return;
            if (seen.Add((from, to))) unknown.Add((from, to, at));
        }

        void CheckEnds(Connector from, Connector to, double? length, Anchor at)
        {
            if (length > LongestUnbalanced && (from.Socket.Settings.Has("unbalanced") || to.Socket.Settings.Has("unbalanced"))
                && !from.Socket.Settings.Has("isolated") && !to.Socket.Settings.Has("isolated") && pairs.Add((from.Socket, to.Socket)))
                bag.Add(CablingFindings.UnbalancedRun(from.ToString(), to.ToString(), length.Value, LongestUnbalanced), at);
            if (from.Socket.Settings["connector"]?.Text is { } left && to.Socket.Settings["connector"]?.Text is { } right && left != right && pairs.Add((to.Socket, from.Socket)))
                bag.Add(CablingFindings.OtherConnectors(from.ToString(), left, to.ToString(), right), at);
        }
    }
}
