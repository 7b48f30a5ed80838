using System.Collections.Immutable;

namespace PatchLang.Facts;

/// <summary>Where several signals are heard together.</summary>
public enum SumSort
{
    /// <summary>A bus.</summary>
    Bus,

    /// <summary>A performer's own mixer: what arrives at one socket is mixed by who listens.</summary>
    OwnMixer,

    /// <summary>A point that several hops lead to and that is no bus: of alternatives one at a time, else a mistake that is found elsewhere.</summary>
    Point,
}

/// <summary>A sum at which one origin arrives over several ways.</summary>
/// <param name="Sort">What sort of sum it is.</param>
/// <param name="Node">Its node; of a performer's own mixer the first channel of the socket.</param>
/// <param name="Shared">The origins that arrive over several ways.</param>
public sealed record Sum(SumSort Sort, int Node, ImmutableArray<SharedOrigin> Shared)
{
    /// <summary>Whether it brings its sources into step by itself.</summary>
    public bool IsAligned { get; init; }
}

/// <summary>One origin that arrives at a sum over several ways, none of which is an alternative to another.</summary>
/// <param name="Origin">The node it starts from: a source, or a sum whose output is what is shared.</param>
/// <param name="Parting">The last node that all the ways have in common.</param>
/// <param name="Ways">The ways, from where they part to the sum.</param>
public sealed record SharedOrigin(int Origin, int Parting, ImmutableArray<Way> Ways);

/// <summary>One way from where it parts from others to the sum at which it meets them again.</summary>
/// <param name="Edges">Its hops, as edges of the signal graph.</param>
/// <param name="Delay">How long it takes.</param>
/// <param name="Gain">The gain along it in dB; null where some of it is set by ear.</param>
public sealed record Way(ImmutableArray<int> Edges, Delay Delay, double? Gain)
{
    /// <summary>Whether it stands for several that had met before, in another sum: its delay is theirs, from the shortest to the longest.</summary>
    public bool StandsForSeveral { get; init; }
}
