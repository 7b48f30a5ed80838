using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>A point on a signal's way where it must show, and where to look if it does not.</summary>
/// <param name="Point">The point: a preamplifier, a strip, a track, a receiving channel.</param>
/// <param name="IfNot">The places to look: what is between it and the previous point.</param>
internal sealed record Showing(GraphPoint Point, string IfNot);

/// <summary>The points at which a signal must show, one for each unit with a display.</summary>
internal static class Trail
{
    public static List<Showing> Of(PlanBook book, Source source, ActSet act)
    {
        var reached = book.ReachOf(source.Socket.Node, act);
        var shown = new List<GraphPoint>();
        foreach (var unit in reached.Points.GroupBy(p => p.Device.Outermost))
            if (ShowsAt(unit) is { } point) shown.Add(point);
        var nodes = shown.Select(p => p.Node).ToHashSet();
        var phantom = PlanBook.WantsPhantom(source, reached);
        return [.. shown.Select(p => new Showing(p, string.Join("; ", Look(p))))];

        IEnumerable<string> Look(GraphPoint point)
        {
            var hops = new List<string>();
            var at = point.Node;
            while (reached.CameBy.TryGetValue(at, out var edge) && (at == point.Node || !nodes.Contains(at)))
            {
                hops.Add(HopIn(book, edge, act));
                at = book.Graph.FromOf(edge);
            }
            if (!nodes.Contains(at) || at == point.Node)
            {
                if (source.Way.MicOf(source.Element) is { } mic) hops.Add($"{mic} and its lead");
                else hops.Add(source.Socket.Socket.Format is { Media.IsEmpty: false } ? "microphone or box, and its lead" : "the source itself");
                if (phantom) hops.Add("48 V");
            }
            if (point.Socket.Settings.Has("gain")) hops.Insert(0, "gain");
            hops.Reverse();
            return hops.Where(h => h.Length > 0).Distinct();
        }
    }

    /// <summary>
    /// Where a unit shows a signal: at its first strip, else at a track, else where it enters. A unit with neither strips nor a clock has no display.
    /// </summary>
    private static GraphPoint? ShowsAt(IEnumerable<GraphPoint> points)
    {
        GraphPoint? best = null;
        var rank = 0;
        foreach (var point in points)
        {
            var here = point.Socket.Sort == SocketSort.Strip ? 4
                : point.Socket.Settings.Has("recorder") && point.Side == Side.Out ? 3
                : point.Side == Side.In && !point.Device.Outermost.Model.Clocks.IsEmpty ? 2
                : point.Socket.Settings.Has("listener") ? 1 : 0;
            if (here > rank) (best, rank) = (point, here);
        }
        return best;
    }

    /// <summary>A hop as a place to look for a fault; empty for a fixed one.</summary>
    public static string HopIn(PlanBook book, int edge, ActSet act)
    {
        var hop = book.Graph.HopOf(edge);
        var (from, to) = (book.Rig.PointOf(book.Graph.FromOf(edge)), book.Rig.PointOf(book.Graph.ToOf(edge)));
        return hop.Kind switch
        {
            HopKind.Network => $"network {hop.Network!.Symbol.Label ?? hop.Network.Symbol.Name}: route {from} to {to}",
            HopKind.Cable => book.CableBetween(from, to, act) is { } cable ? cable.Loom is not null ? $"multicore {PlanBook.Mark(cable)}" : $"cable {(PlanBook.Mark(cable) is { Length: > 0 } mark ? mark : $"{from.Connector} to {to.Connector}")}" : "",
            HopKind.ImpliedCable => $"the cable from {from.Connector} to {to.Connector}",
            _ when hop.Route!.Sort == RouteSort.Either => $"{PlanBook.TitleOf(from.Device.Outermost)}: which way it is switched",
            _ when hop.Route!.Sort == RouteSort.Free => $"{PlanBook.TitleOf(from.Device.Outermost)}: {PlanBook.Local(from)} to {PlanBook.Local(to)}",
            _ => "",
        };
    }
}
