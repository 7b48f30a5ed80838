using PatchLang.Physics;

namespace PatchLang.Facts;

/// <summary>The level at a place.</summary>
/// <param name="Known">The level of all that is known to be there; null where nothing is.</param>
/// <param name="AllPeaks">What it would be if the peaks of all that is known fell together, which it never exceeds; null where nothing is known.</param>
/// <param name="IsWhole">Whether nothing else is there: what is known is the level. Where it is not, the level is no less.</param>
public readonly record struct LevelAt(Level? Known, Level? AllPeaks, bool IsWhole)
{
    /// <summary>Whether it is unknown for something that has a finding of its own.</summary>
    public bool IsBroken { get; init; }
}

/// <summary>How much is left at a place.</summary>
/// <param name="Decibels">In dB, below zero where it clips; null where it is unknown.</param>
/// <param name="IsWhole">Whether all that is there is counted; else it is no more than this.</param>
public readonly record struct Headroom(double? Decibels, bool IsWhole);

/// <summary>Something without which a level is not known.</summary>
/// <param name="Words">What it is, and what would settle it: "the gain of rack.mic[5] is set by ear; `gain` in feed lead states it".</param>
/// <param name="Edge">The hop it is about; −1 where it is about a source.</param>
/// <param name="Node">The place it is about.</param>
public sealed record LevelUnknown(string Words, int Edge, int Node);

/// <summary>A place that gets more than it carries.</summary>
/// <param name="Node">The place.</param>
/// <param name="Level">What is there, with the gain ahead of a converter.</param>
/// <param name="Most">What it carries.</param>
public sealed record Clip(int Node, Level Level, Level Most)
{
    /// <summary>How much it is over, in dB.</summary>
    public double Over => Level.Decibels - Most.Decibels;

    /// <summary>Whether an input's gain is set by ear, and its least already clips.</summary>
    public bool IsAtLeastGain { get; init; }
}
