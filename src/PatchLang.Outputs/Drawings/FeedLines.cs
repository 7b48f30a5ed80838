using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Outputs.Drawings;

/// <summary>For each feed, the lines of a rig drawing that carry its sound: from its sources, on its own way, and on to its listeners.</summary>
internal sealed class FeedLines(Compilation plan, ActSet acts, RigJoints joints, Dictionary<object, int> lineOf)
{
    /// <summary>The feeds that have a way of their own in these acts, in the order of the plan.</summary>
    public ImmutableArray<DrawnFeed> All
    {
        get
        {
            var feeds = ImmutableArray.CreateBuilder<DrawnFeed>();
            foreach (var way in plan.Ways)
            {
                if (way.Feed is not { } feed || way.EdgeCount == 0 || !way.Acts.Meets(acts)) continue;
                var lines = Lines(way.FirstEdge, way.EdgeCount, way.Acts & acts);
                var title = feed.Labels is [var label, ..] ? label : feed.Name;
                feeds.Add(new DrawnFeed(way.Number, way.Name, title, [.. lines], way.Place));
            }
            return feeds.DrainToImmutable();
        }
    }

    private readonly HashSet<int> seen = [];
    private readonly Stack<int> open = [];

    private SortedSet<int> Lines(int first, int count, ActSet during)
    {
        var lines = new SortedSet<int>();
        for (var edge = first; edge < first + count; edge++) Take(edge, lines);
        Spread(first, count, during, isBack: true, lines);
        Spread(first, count, during, isBack: false, lines);
        return lines;
    }

    private void Spread(int first, int count, ActSet during, bool isBack, SortedSet<int> lines)
    {
        var graph = plan.Graph;
        seen.Clear();
        for (var edge = first; edge < first + count; edge++)
            if (seen.Add(isBack ? graph.FromOf(edge) : graph.ToOf(edge))) open.Push(isBack ? graph.FromOf(edge) : graph.ToOf(edge));
        while (open.TryPop(out var node))
            foreach (var edge in isBack ? graph.Into(node) : graph.OutOf(node))
            {
                if (!graph.ActsOf(edge).Meets(during)) continue;
                Take(edge, lines);
                var next = isBack ? graph.FromOf(edge) : graph.ToOf(edge);
                if (seen.Add(next)) open.Push(next);
            }
    }

    private void Take(int edge, SortedSet<int> lines)
    {
        if (joints.JointOver(edge) is { } joint && lineOf.TryGetValue(joint, out var line)) lines.Add(line);
        var (from, to) = joints.NetworkJointsOf(edge);
        if (from is not null && lineOf.TryGetValue(from, out line)) lines.Add(line);
        if (to is not null && lineOf.TryGetValue(to, out line)) lines.Add(line);
    }
}
