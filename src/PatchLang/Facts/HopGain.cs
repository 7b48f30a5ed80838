using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>Why a level is not known beyond some point.</summary>
internal enum LevelGap
{
    /// <summary>It is known.</summary>
    None,

    /// <summary>No `level` is stated for a source.</summary>
    Source,

    /// <summary>The gain of an input is set by ear.</summary>
    InputGain,

    /// <summary>The gear does not say what an input does to the level.</summary>
    InputUnsaid,

    /// <summary>The gear does not say what an output does to the level.</summary>
    OutputUnsaid,

    /// <summary>The level of an output is set by ear, and no feed can state it.</summary>
    OutputGain,

    /// <summary>The output that leads here does not say its full scale in volts.</summary>
    OutputFullScale,

    /// <summary>A fader is set by ear.</summary>
    Fader,

    /// <summary>Nothing says where in the strip it is taken.</summary>
    Tap,

    /// <summary>The gain of a member of a sum is set by ear.</summary>
    Member,
}

/// <summary>What a hop does to a level: a gain, which from a line to full scale or back holds the converter's alignment.</summary>
/// <param name="Decibels">In dB.</param>
/// <param name="Reference">What the level behind it is counted from.</param>
/// <param name="Gap">Why it is not known; none where it is.</param>
internal readonly record struct HopGain(double Decibels, LevelReference Reference, LevelGap Gap = LevelGap.None)
{
    public bool IsKnown => Gap == LevelGap.None;

    /// <summary>What a hop does.</summary>
    /// <param name="graph">The graph.</param>
    /// <param name="written">What feeds state.</param>
    /// <param name="edge">The hop's edge.</param>
    /// <param name="arriving">What the level ahead of it is counted from.</param>
    public static HopGain Of(SignalGraph graph, WrittenLevels written, int edge, LevelReference arriving)
    {
        var hop = graph.HopOf(edge);
        var to = graph.Rig.PointOf(graph.ToOf(edge));
        if (hop.Kind != HopKind.Route)
            // Full scale of an output that does not say how many volts that are means nothing to an input that counts in volts.
            return arriving == LevelReference.FullScale && to.Socket.Levels.FullScale is not null ? new HopGain(0, arriving, LevelGap.OutputFullScale) : new HopGain(0, arriving);
        var from = graph.Rig.PointOf(graph.FromOf(edge));
        var leaves = from.Side == Side.Inner ? Inner(written, hop, from, arriving) : Input(written, from, arriving);
        return leaves.IsKnown ? Onward(hop, from, to, leaves) : leaves;
    }

    /// <summary>What hops do one after the other, from where the first starts.</summary>
    /// <returns>In dB; null where some of it is set by ear.</returns>
    public static double? Along(SignalGraph graph, WrittenLevels written, IReadOnlyList<int> edges)
    {
        if (edges.Count == 0) return 0;
        var (decibels, reference) = (0.0, ReferenceAt(graph.Rig.PointOf(graph.FromOf(edges[0]))));
        foreach (var edge in edges)
        {
            var gain = Of(graph, written, edge, reference);
            if (!gain.IsKnown) return null;
            (decibels, reference) = (decibels + gain.Decibels, gain.Reference);
        }
        return decibels;
    }

    /// <summary>What a level is counted from at a place of which nothing but its gear is known: inside gear that has a clock there are samples.</summary>
    private static LevelReference ReferenceAt(GraphPoint point) =>
        (point.Socket.Format?.IsDigital ?? !point.Device.Model.Clocks.IsEmpty) ? LevelReference.FullScale : LevelReference.Line;

    /// <summary>The gain of an input ahead of what follows, pads counted: what is written, or can't be set, or 0 where there is none.</summary>
    /// <returns>In dB; null where it is set by ear.</returns>
    public static double? OfInput(WrittenLevels written, GraphPoint input)
    {
        var levels = input.Socket.Levels;
        var gain = levels.HasRange ? written.GainOf(input.Node) : levels.FixedGain ?? 0;
        return gain - (written.PadOf(input.Node) ?? 0);
    }

    private static HopGain Input(WrittenLevels written, GraphPoint from, LevelReference arriving)
    {
        if (OfInput(written, from) is not { } gain) return new HopGain(0, arriving, LevelGap.InputGain);
        return arriving == LevelReference.Line && from.Socket.Levels.FullScale is { } full
            ? new HopGain(Alignment.ToDigital(0, full, gain), LevelReference.FullScale)
            : new HopGain(gain, arriving);
    }

    private static HopGain Inner(WrittenLevels written, Hop hop, GraphPoint from, LevelReference arriving)
    {
        if (from.Socket.Sort == SocketSort.Bus)
            return written.FaderOf(from.Node) is { } master ? new HopGain(master, arriving) : new HopGain(0, arriving, LevelGap.Fader);
        switch (hop.Tap)
        {
            case Tap.BeforeAll: return new HopGain(0, arriving);
            case Tap.BeforeFader: return new HopGain(written.TrimOf(from.Node) ?? 0, arriving);
            case Tap.AfterFader when written.FaderOf(from.Node) is { } fader: return new HopGain((written.TrimOf(from.Node) ?? 0) + fader, arriving);
            case Tap.AfterFader: return new HopGain(0, arriving, LevelGap.Fader);
            default: return new HopGain(0, arriving, LevelGap.Tap);
        }
    }

    private static HopGain Onward(Hop hop, GraphPoint from, GraphPoint to, HopGain leaves)
    {
        var isLine = leaves.Reference == LevelReference.Line;
        var levels = to.Socket.Levels;
        if (isLine && from.Side == Side.In && to.Side != Side.Out && from.Socket.Levels.Gain is null) return leaves with { Gap = LevelGap.InputUnsaid };
        if (to.Socket.Sort == SocketSort.Bus)
            return (hop.Gain ?? levels.FixedGain) is { } member ? leaves with { Decibels = leaves.Decibels + member } : leaves with { Gap = LevelGap.Member };
        if (to.Side != Side.Out) return leaves;
        if (levels.HasRange) return leaves with { Gap = LevelGap.OutputGain };
        if (!isLine)
            return levels.FullScale is { } full
                ? new HopGain(Alignment.ToAnalogue(leaves.Decibels, full, levels.FixedGain ?? 0), LevelReference.Line)
                : leaves with { Decibels = leaves.Decibels + (levels.FixedGain ?? 0) };
        if (levels.FixedGain is { } gain) return leaves with { Decibels = leaves.Decibels + gain };
        return from.Side == Side.In && from.Socket.Levels.Gain is not null ? leaves : leaves with { Gap = LevelGap.OutputUnsaid };
    }
}
