using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// How a feed that stops short would go on: over the cable at its end, or a fixed route, to the place where its sound may end.
/// </summary>
/// <param name="Far">The far end of the cable at the feed's first loose end; unknown if there is no cable.</param>
/// <param name="Hop">The hop to add, as the plan writes it; null if there is none, or more than one.</param>
internal readonly record struct WayOn(GraphPoint Far, string? Hop)
{
    /// <summary>How many channels of a socket are tried.</summary>
    private const int MostTried = 64;

    public static WayOn Of(Plan plan, FeedVariant variant, GraphPoint loose)
    {
        var finder = new WayFinder(plan.Rig);
        var far = finder.CabledTo(loose, variant.Acts).FirstOrDefault();
        var last = new List<GraphPoint>();
        foreach (var end in variant.Ends)
        {
            if (end.Others is not null || plan.Rig.PointAt(end.Node) is not { IsUnknown: false } point) return new WayOn(far, null);
            var to = PlaceFrom(finder, point, finder.CabledTo(point, variant.Acts).FirstOrDefault(), variant.Acts);
            if (to.IsUnknown) return new WayOn(far, null);
            last.Add(to);
        }
        return new WayOn(far, HopTo(plan.Rig, last));
    }

    /// <summary>The fix that takes a feed on; none if nothing says where to.</summary>
    public IEnumerable<FixDraft> Fixes(FeedSymbol feed)
    {
        if (Hop is null) yield break;
        var end = feed.At(feed.Hops[^1].Span);
        yield return new FixDraft($"take it on to {Hop}", false, end with { Span = new(end.Span.End, 0) }, $" -> {Hop}");
    }

    /// <summary>The place to which sound goes on, and where it may end: the far end of a cable, or an output of the unit there.</summary>
    private static GraphPoint PlaceFrom(WayFinder finder, GraphPoint from, GraphPoint far, ActSet acts)
    {
        if (!far.IsUnknown && LooseEndsCheck.IsAPlace(far)) return far;
        var at = far.IsUnknown ? from : far;
        foreach (var socket in at.Device.Model.Sockets)
        {
            if (!socket.MayBeLast || !socket.Has(Side.Out)) continue;
            for (var i = 0; i < Math.Min(socket.OutCount, MostTried); i++)
            {
                // The channel of the same number is the likeliest.
                var to = new GraphPoint(at.Device, socket, Side.Out, (at.Channel + i) % socket.OutCount);
                if (!finder.Find(from, to, acts).Sole.IsDefault) return to;
            }
        }
        return default;
    }

    /// <summary>Some points as one hop; null if they are neither channels of one socket nor a socket each of a row of units.</summary>
    public static string? HopTo(Rig rig, List<GraphPoint> points)
    {
        var first = points[0];
        if (points.Count > 1 && first.Device.Host is null && points.TrueForAll(p => p.Socket == first.Socket && p.Socket.CountOn(p.Side) == 1)
            && points.Select(p => p.Device).SequenceEqual(rig.DevicesOf(first.Device.Unit))) return $"{first.Device.Unit.Name}.{first.Socket.Name}";
        if (!points.TrueForAll(p => p.Device == first.Device && p.Socket == first.Socket)) return null;
        var numbers = new List<string>();
        for (var i = 0; i < points.Count;)
        {
            var end = i;
            while (end + 1 < points.Count && points[end + 1].Channel == points[end].Channel + 1) end++;
            numbers.Add(end == i ? $"{points[i].Channel + 1}" : $"{points[i].Channel + 1}..{points[end].Channel + 1}");
            i = end + 1;
        }
        var port = $"{first.Device.Name}.{first.Socket.Name}";
        return first.Socket.CountOn(first.Side) == 1 ? port : $"{port}[{string.Join(", ", numbers)}]";
    }
}
