using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>Describes what an unknown level depends on, and which declaration would determine it.</summary>
internal static class LevelGapWords
{
    public static string Of(SignalGraph graph, ActSet acts, LevelGap gap, int edge, int node)
    {
        var point = graph.Rig.PointOf(node);
        switch (gap)
        {
            case LevelGap.Source:
                return $"no `level` {InFeed(FeedFrom(node))} for its source {point}";
            case LevelGap.InputGain:
                return $"the gain of {point} is set by ear; `gain` {InFeed(FeedAt(node))} states it";
            case LevelGap.InputUnsaid:
                return $"neither `full_scale` nor `gain` of {point.Socket.Name} in {InGear(point)}";
            case LevelGap.OutputUnsaid:
                var output = graph.Rig.PointOf(graph.ToOf(edge));
                return $"no `gain` of {output.Socket.Name} in {InGear(output)}";
            case LevelGap.OutputGain:
                return $"the level of {graph.Rig.PointOf(graph.ToOf(edge))} is set by ear";
            case LevelGap.OutputFullScale:
                return $"no `full_scale` of {point.Socket.Name} in {InGear(point)}";
            case LevelGap.Fader:
                return $"the fader of {point} is set by ear; `fader` {InFeed(FeedAt(node))} states it";
            case LevelGap.Tap:
                return $"nothing says where in {point} it is taken";
            case LevelGap.Member:
                return $"the gain of {point} into {graph.Rig.PointOf(graph.ToOf(edge))} is set by ear; a gain in the sum states it{(graph.FeedOf(edge) is { } sum ? $" ({sum.Name})" : "")}";
            default:
                return $"no `clips_at` of {point.Socket.Name} in {InGear(point)}";
        }

        static string InGear(GraphPoint at) => $"{at.Device.Model.Gear.Sort} {at.Device.Model.Gear.Name}";

        static string InFeed(FeedSymbol? feed) => feed is null ? "in its feed" : $"in feed {feed.Name}";

        FeedSymbol? FeedFrom(int at)
        {
            foreach (var next in graph.OutOf(at))
                if (graph.ActsOf(next).Meets(acts)) return graph.FeedOf(next);
            return null;
        }

        // The feed that leads there, else one that starts there.
        FeedSymbol? FeedAt(int at)
        {
            foreach (var before in graph.Into(at))
                if (graph.ActsOf(before).Meets(acts) && graph.FeedOf(before) is { } feed) return feed;
            return FeedFrom(at);
        }
    }
}
