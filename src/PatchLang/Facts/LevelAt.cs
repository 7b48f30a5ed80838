using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>The level at a place.</summary>
/// <param name="Known">The level of everything known to arrive there; null if nothing is known.</param>
/// <param name="AllPeaks">The level if all known peaks coincided, which is the upper limit; null if nothing is known.</param>
/// <param name="IsWhole">Whether everything is known. If not, the level is a lower bound.</param>
public readonly record struct LevelAt(Level? Known, Level? AllPeaks, bool IsWhole)
{
    /// <summary>Whether it is unknown because of something that has a finding of its own.</summary>
    public bool IsBroken { get; init; }
}

/// <summary>The headroom at a place.</summary>
/// <param name="Decibels">In dB, below zero if it clips; null if unknown.</param>
/// <param name="IsWhole">Whether everything that arrives is known; if not, the headroom is an upper bound.</param>
public readonly record struct Headroom(double? Decibels, bool IsWhole);

/// <summary>Something unknown that a level depends on.</summary>
/// <param name="Words">What it is, and which declaration would determine it: "the
/// gain of rack.mic[5] is set by ear; `gain` in feed lead states it".</param>
/// <param name="Edge">The hop concerned; −1 for a source.</param>
/// <param name="Node">The node concerned.</param>
public sealed record LevelUnknown(string Words, int Edge, int Node);

/// <summary>A place that clips.</summary>
/// <param name="Node">The node.</param>
/// <param name="Level">The level there, including the gain before a converter.</param>
/// <param name="Most">The highest level it can carry.</param>
public sealed record Clip(int Node, Level Level, Level Most)
{
    /// <summary>By how much it clips, in dB.</summary>
    public double Over => Level.Decibels - Most.Decibels;

    /// <summary>Whether it is an input whose gain is set by ear, and which clips even at its lowest gain.</summary>
    public bool IsAtLeastGain { get; init; }
}
