using System.Collections.Immutable;

namespace PatchLang.Facts;

/// <summary>Where several signals are heard together.</summary>
public enum SumSort
{
    /// <summary>A bus.</summary>
    Bus,

    /// <summary>A performer's own mixer: the listener mixes what arrives at one socket.</summary>
    OwnMixer,

    /// <summary>
    /// Another point with several hops into it: alternatives of which one sounds at a time, or a mistake that is reported elsewhere.
    /// </summary>
    Point,
}

/// <summary>A sum at which one origin arrives over several ways.</summary>
/// <param name="Sort">The sort of sum.</param>
/// <param name="Node">Its node; for a performer's own mixer the first channel of the socket.</param>
/// <param name="Shared">The origins that arrive over several ways.</param>
public sealed record Sum(SumSort Sort, int Node, ImmutableArray<SharedOrigin> Shared)
{
    /// <summary>Whether it time-aligns its sources automatically.</summary>
    public bool IsAligned { get; init; }
}

/// <summary>An origin that arrives at a sum over several ways, none of which are alternatives of each other.</summary>
/// <param name="Origin">The node it starts from: a source, or a sum whose output takes several ways.</param>
/// <param name="Parting">The last node that all the ways have in common.</param>
/// <param name="Ways">The ways, from where they part to the sum.</param>
public sealed record SharedOrigin(int Origin, int Parting, ImmutableArray<Way> Ways);

/// <summary>One of the ways, from where it parts from the others to the sum where they meet again.</summary>
/// <param name="Edges">Its hops, as edges of the signal graph.</param>
/// <param name="Delay">Its total delay.</param>
/// <param name="Gain">Its total gain in dB; null if part of it is unknown.</param>
public sealed record Way(ImmutableArray<int> Edges, Delay Delay, double? Gain)
{
    /// <summary>Whether it stands for several ways that already met in another sum: its delay is the range of theirs.</summary>
    public bool StandsForSeveral { get; init; }
}
