using System.Collections.Immutable;

namespace PatchLang.Physics;

/// <summary>A range of stream formats: a sample rate, a packet time, and a range of channel counts.</summary>
/// <param name="Rate">The sample rate in Hz.</param>
/// <param name="PacketTime">The packet time in seconds.</param>
/// <param name="Least">The fewest channels.</param>
/// <param name="Most">The most channels.</param>
public readonly record struct StreamRange(double Rate, double PacketTime, int Least, int Most)
{
    /// <summary>Whether it includes a stream.</summary>
    public bool Covers(double rate, double packetTime, int channels) =>
        rate.Equals(Rate) && Physics.PacketTime.IsSame(packetTime, PacketTime) && channels >= Least && channels <= Most;
}

/// <summary>
/// A conformance level of SMPTE ST 2110-30: which streams a sender offers and a receiver accepts. ST 2110-30:2025, clause 7, tables 2
/// and 3 (read in a secondary source).
/// </summary>
public sealed class ConformanceLevel
{
    private const double Millisecond = 1e-3;
    private const double Eighth = 125e-6;

    private static readonly StreamRange A = new(48000, Millisecond, 1, 8);
    private static readonly StreamRange Ax = new(96000, Millisecond, 1, 4);
    private static readonly StreamRange B = new(48000, Eighth, 1, 8);
    private static readonly StreamRange Bx = new(96000, Eighth, 1, 8);

    private ConformanceLevel(string name, StreamRange sends, params ImmutableArray<StreamRange> takes)
    {
        Name = name;
        // Every device supports level A, whatever its own level.
        Sends = name == "A" ? [sends] : [A, sends];
        Takes = takes;
    }

    /// <summary>All levels: A, AX, B, BX, C and CX.</summary>
    public static ImmutableArray<ConformanceLevel> All { get; } =
    [
        new("A", A, A),
        new("AX", Ax, A, Ax),
        new("B", B, A, B),
        new("BX", Bx, A, B, Ax, Bx),
        new("C", new StreamRange(48000, Eighth, 9, 64), A, new StreamRange(48000, Eighth, 1, 64)),
        new("CX", new StreamRange(96000, Eighth, 9, 32), A, new StreamRange(48000, Eighth, 1, 64), Ax, new StreamRange(96000, Eighth, 1, 32)),
    ];

    /// <summary>Its name in the standard.</summary>
    public string Name { get; }

    /// <summary>The ranges in each of which a sender of this level offers at least one stream: level A's, then its own (table 2).</summary>
    public ImmutableArray<StreamRange> Sends { get; }

    /// <summary>The ranges that a receiver of this level accepts in full (table 3).</summary>
    public ImmutableArray<StreamRange> Takes { get; }

    /// <summary>Whether a sender's own range at this level, apart from level A's, includes such a stream.</summary>
    public bool Sender(double rate, double packetTime, int channels) => Sends[^1].Covers(rate, packetTime, channels);

    /// <summary>Whether a receiver of this level accepts such a stream.</summary>
    public bool Receiver(double rate, double packetTime, int channels)
    {
        foreach (var range in Takes)
            if (range.Covers(rate, packetTime, channels)) return true;
        return false;
    }

    /// <summary>The level with a name, or null.</summary>
    public static ConformanceLevel? Find(string name) => All.FirstOrDefault(l => l.Name == name);
}
