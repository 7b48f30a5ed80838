namespace PatchLang.Physics;

/// <summary>A port of a clock on a network.</summary>
/// <param name="Clock">The clock.</param>
/// <param name="Number">Its number, from 1.</param>
public readonly record struct ClockPort(ClockIdentity Clock, ushort Number) : IComparable<ClockPort>
{
    /// <inheritdoc/>
    public int CompareTo(ClockPort other) => Clock == other.Clock ? Number.CompareTo(other.Number) : Clock.CompareTo(other.Clock);

    /// <summary>Whether the first sorts before the second.</summary>
    public static bool operator <(ClockPort left, ClockPort right) => left.CompareTo(right) < 0;

    /// <summary>Whether the first sorts after the second.</summary>
    public static bool operator >(ClockPort left, ClockPort right) => left.CompareTo(right) > 0;

    /// <summary>Whether the first does not sort after the second.</summary>
    public static bool operator <=(ClockPort left, ClockPort right) => left.CompareTo(right) <= 0;

    /// <summary>Whether the first does not sort before the second.</summary>
    public static bool operator >=(ClockPort left, ClockPort right) => left.CompareTo(right) >= 0;
}

/// <summary>The path by which an announcement arrived.</summary>
/// <param name="StepsRemoved">The number of clocks that relayed it.</param>
/// <param name="Sender">The port that sent it.</param>
/// <param name="Receiver">The port that received it.</param>
public readonly record struct AnnouncedWay(int StepsRemoved, ClockPort Sender, ClockPort Receiver);

/// <summary>
/// What a clock announces to the other clocks of its network, which elect their leader by comparing these (IEEE 1588). In every
/// figure the lower value is better.
/// </summary>
public readonly record struct ClockDataSet
{
    /// <summary>Factory default of both priorities: IEEE 1588's default profile, read in an implementation's default configuration.</summary>
    public const int DefaultPriority = 128;

    /// <summary>The class of a free-running clock: IEEE 1588-2008 table 5, read in a maker's guide.</summary>
    public const int DefaultClass = 248;

    /// <summary>The class of a clock that never leads: IEEE 1588-2008 table 5, read in a maker's guide.</summary>
    public const int NeverLeads = 255;

    /// <summary>The variance of a clock of unknown stability: read in an implementation's default configuration.</summary>
    public const int UnknownVariance = 0xFFFF;

    /// <summary>A clock with factory defaults and an unknown identity.</summary>
    public ClockDataSet()
    {
    }

    /// <summary>A priority set by an engineer, compared before everything else; 0 to 255.</summary>
    public int Priority1 { get; init; } = DefaultPriority;

    /// <summary>The class of time that the clock runs on: 6 for a primary reference, 248 for none; 0 to 255.</summary>
    public int Class { get; init; } = DefaultClass;

    /// <summary>How near it is to true time, as a code of <see cref="ClockAccuracy"/>.</summary>
    public int Accuracy { get; init; } = ClockAccuracy.Unknown;

    /// <summary>Its stability: the standard's scaled logarithm of the variance of its offset; 0 to 65535.</summary>
    public int Variance { get; init; } = UnknownVariance;

    /// <summary>A priority set by an engineer, compared among equally good clocks; 0 to 255.</summary>
    public int Priority2 { get; init; } = DefaultPriority;

    /// <summary>Its identity; null if unknown.</summary>
    public ClockIdentity? Identity { get; init; }

    /// <summary>The path by which the announcement arrived; all zero for a clock's own.</summary>
    public AnnouncedWay Way { get; init; }
}
