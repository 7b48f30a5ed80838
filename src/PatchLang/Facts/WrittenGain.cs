using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Facts;

/// <summary>The gain that a plan states for a hop. Preamplifiers, faders and sends are set by ear where nothing is written.</summary>
internal static class WrittenGain
{
    /// <summary>The gain in dB; null where it is set by ear.</summary>
    public static double? Of(SignalGraph graph, int edge)
    {
        var hop = graph.HopOf(edge);
        if (hop.Kind != HopKind.Route) return 0;
        var (leaves, arrives) = (graph.Rig.PointOf(graph.FromOf(edge)), graph.Rig.PointOf(graph.ToOf(edge)));
        if (leaves.Socket.Sort == SocketSort.Strip && hop.Tap is Tap.AfterFader or Tap.Unstated) return null;
        if (arrives.Socket.Sort == SocketSort.Bus) return hop.Gain;
        // A preamplifier with a range is turned by ear.
        return leaves.Side == Side.In && leaves.Socket.Settings["gain"] is { Value: { } low, High: { } high } ? low == high ? low.Value : null : 0;
    }
}
