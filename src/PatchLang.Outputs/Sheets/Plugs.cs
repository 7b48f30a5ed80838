using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>One physical cable: declared, or implied by a feed.</summary>
/// <param name="From">The end on the sending side.</param>
/// <param name="To">The end on the receiving side.</param>
/// <param name="Cable">The declaration; null if there is none.</param>
/// <param name="Acts">The acts in which it is plugged.</param>
/// <param name="Place">Its place in the plan.</param>
internal sealed record Plug(Connector From, Connector To, Cable? Cable, ActSet Acts, Place Place)
{
    /// <summary>The hops over it, as edges of the signal graph.</summary>
    public List<int> Edges { get; } = [];

    /// <summary>The text on it; empty for none.</summary>
    public string Mark => Cable is { } cable ? PlanBook.Mark(cable) : "";
}

/// <summary>All cables of a plan, with what they carry.</summary>
internal static class Plugs
{
    /// <summary>The cables in some acts: declared ones in the order of the plan, then the others.</summary>
    public static ImmutableArray<Plug> Of(PlanBook book)
    {
        var plugs = new List<Plug>();
        var byEnds = new Dictionary<(Connector, Connector), List<Plug>>();
        foreach (var cable in book.Rig.Cables)
        {
            if (!cable.Acts.Meets(book.Acts)) continue;
            var plug = new Plug(cable.From, cable.To, cable, cable.Acts & book.Acts, book.Plan.PlaceOf(cable));
            plugs.Add(plug);
            Know((cable.From, cable.To), plug);
            if (cable.BothWays) Know((cable.To with { Side = Side.Out }, cable.From with { Side = Side.In }), plug);
        }
        for (var edge = 0; edge < book.Graph.EdgeCount; edge++)
        {
            var acts = book.Graph.ActsOf(edge) & book.Acts;
            var kind = book.Graph.HopOf(edge).Kind;
            if (acts.IsEmpty || kind is not (HopKind.Cable or HopKind.ImpliedCable)) continue;
            var ends = (book.Rig.PointOf(book.Graph.FromOf(edge)).Connector, book.Rig.PointOf(book.Graph.ToOf(edge)).Connector);
            var known = byEnds.GetValueOrDefault(ends);
            if (known is null && kind == HopKind.ImpliedCable)
            {
                var plug = new Plug(ends.Item1, ends.Item2, null, acts, book.Plan.PlaceOf(edge));
                plugs.Add(plug);
                Know(ends, plug);
                if (ends.Item1.Socket.Format is { BothWays: true }) Know((ends.Item2 with { Side = Side.Out }, ends.Item1 with { Side = Side.In }), plug);
                known = byEnds[ends];
            }
            foreach (var plug in known ?? [])
                if (plug.Cable is null || plug.Acts.Meets(acts)) plug.Edges.Add(edge);
        }
        return [.. plugs];

        void Know((Connector, Connector) ends, Plug plug) => (byEnds.TryGetValue(ends, out var list) ? list : byEnds[ends] = []).Add(plug);
    }

    /// <summary>What a cable carries: the signals if they are few, else the number of channels; empty if no feed uses it.</summary>
    public static string CarriedBy(PlanBook book, Plug plug)
    {
        const int few = 3;
        var titles = plug.Edges.Select(book.TitleAt).Distinct().ToList();
        if (titles.Count == 0) return "";
        var channels = plug.Edges.Select(book.Graph.FromOf).Distinct().Count();
        return channels == 1 && titles.Count <= few ? string.Join(" / ", titles) : titles.Count <= few ? string.Join(", ", titles) : Words.Count(channels, "channel");
    }
}
