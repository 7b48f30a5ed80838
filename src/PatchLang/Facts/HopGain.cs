using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>Why a level is unknown from some hop on.</summary>
internal enum LevelGap
{
    /// <summary>It is known.</summary>
    None,

    /// <summary>No `level` is stated for a source.</summary>
    Source,

    /// <summary>The gain of an input is set by ear.</summary>
    InputGain,

    /// <summary>The gear does not state the gain or full scale of an input.</summary>
    InputUnsaid,

    /// <summary>The gear does not state the gain or full scale of an output.</summary>
    OutputUnsaid,

    /// <summary>The level of an output is set by ear, and no feed can state it.</summary>
    OutputGain,

    /// <summary>The output that leads here does not state its full scale in volts.</summary>
    OutputFullScale,

    /// <summary>A fader is set by ear.</summary>
    Fader,

    /// <summary>The point in the strip at which it is taken is not stated.</summary>
    Tap,

    /// <summary>The gain of a member of a sum is set by ear.</summary>
    Member,
}

/// <summary>The gain of a hop. Between line level and full scale it includes the alignment of the converter.</summary>
/// <param name="Decibels">In dB.</param>
/// <param name="Reference">The reference of the level after the hop.</param>
/// <param name="Gap">Why it is unknown; none if it is known.</param>
internal readonly record struct HopGain(double Decibels, LevelReference Reference, LevelGap Gap = LevelGap.None)
{
    public bool IsKnown => Gap == LevelGap.None;

    /// <summary>The gain of a hop.</summary>
    /// <param name="graph">The graph.</param>
    /// <param name="written">The figures that feeds state.</param>
    /// <param name="edge">The hop's edge.</param>
    /// <param name="arriving">The reference of the level before the hop.</param>
    public static HopGain Of(SignalGraph graph, WrittenLevels written, int edge, LevelReference arriving)
    {
        var hop = graph.HopOf(edge);
        var to = graph.Rig.PointOf(graph.ToOf(edge));
        if (hop.Kind != HopKind.Route)
            // A level in dBFS from an output that does not state its full scale in volts can't be converted for an input that counts in volts.
            return arriving == LevelReference.FullScale && to.Socket.Levels.FullScale is not null ? new HopGain(0, arriving, LevelGap.OutputFullScale) : new HopGain(0, arriving);
        var from = graph.Rig.PointOf(graph.FromOf(edge));
        var leaves = from.Side == Side.Inner ? Inner(written, hop, from, arriving) : Input(written, from, arriving);
        return leaves.IsKnown ? Onward(hop, from, to, leaves) : leaves;
    }

    /// <summary>The total gain of consecutive hops.</summary>
    /// <returns>In dB; null if part of it is unknown.</returns>
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

    /// <summary>The reference of a level at a place when only its gear is known: inside gear with a clock, levels are digital.</summary>
    private static LevelReference ReferenceAt(GraphPoint point) =>
        (point.Socket.Format?.IsDigital ?? !point.Device.Model.Clocks.IsEmpty) ? LevelReference.FullScale : LevelReference.Line;

    /// <summary>The gain of an input including its pad: as written, or fixed by the gear, or 0 if it has none.</summary>
    /// <returns>In dB; null if it is set by ear.</returns>
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
