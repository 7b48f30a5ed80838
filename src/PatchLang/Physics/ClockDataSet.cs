namespace PatchLang.Physics;

/// <summary>A port of a clock on a network.</summary>
/// <param name="Clock">The clock.</param>
/// <param name="Number">Its number, from 1.</param>
public readonly record struct ClockPort(ClockIdentity Clock, ushort Number) : IComparable<ClockPort>
{
    /// <inheritdoc/>
    public int CompareTo(ClockPort other) => Clock == other.Clock ? Number.CompareTo(other.Number) : Clock.CompareTo(other.Clock);

    /// <summary>Whether the first comes before the second.</summary>
    public static bool operator <(ClockPort left, ClockPort right) => left.CompareTo(right) < 0;

    /// <summary>Whether the first comes behind the second.</summary>
    public static bool operator >(ClockPort left, ClockPort right) => left.CompareTo(right) > 0;

    /// <summary>Whether the first does not come behind the second.</summary>
    public static bool operator <=(ClockPort left, ClockPort right) => left.CompareTo(right) <= 0;

    /// <summary>Whether the first does not come before the second.</summary>
    public static bool operator >=(ClockPort left, ClockPort right) => left.CompareTo(right) >= 0;
}

/// <summary>The way an announcement came from the clock it is about.</summary>
/// <param name="StepsRemoved">How many clocks it was handed on by.</param>
/// <param name="Sender">The port that sent it.</param>
/// <param name="Receiver">The port that took it.</param>
public readonly record struct AnnouncedWay(int StepsRemoved, ClockPort Sender, ClockPort Receiver);

/// <summary>
/// What a clock announces of itself to the others of its network, by which they elect the one that leads (IEEE 1588). In each
/// figure the lower one is better.
/// </summary>
public readonly record struct ClockDataSet
{
    /// <summary>Both priorities as they come from the factory: IEEE 1588's default profile, read in an implementation's default configuration.</summary>
    public const int DefaultPriority = 128;

    /// <summary>The class of a clock that runs free: IEEE 1588-2008 table 5, read in a maker's guide.</summary>
    public const int DefaultClass = 248;

    /// <summary>The class of a clock that never leads: IEEE 1588-2008 table 5, read in a maker's guide.</summary>
    public const int NeverLeads = 255;

    /// <summary>The variance of a clock of which nothing is known: read in an implementation's default configuration.</summary>
    public const int UnknownVariance = 0xFFFF;

    /// <summary>A clock as it comes from the factory, with an identity nobody knows.</summary>
    public ClockDataSet()
    {
    }

    /// <summary>What an engineer sets to decide before everything else; 0 to 255.</summary>
    public int Priority1 { get; init; } = DefaultPriority;

    /// <summary>What the clock itself runs on: 6 for a primary reference, 248 for nothing; 0 to 255.</summary>
    public int Class { get; init; } = DefaultClass;

    /// <summary>How near it is to true time, as a code of <see cref="ClockAccuracy"/>.</summary>
    public int Accuracy { get; init; } = ClockAccuracy.Unknown;

    /// <summary>How steady it is: the standard's scaled logarithm of the variance of its offset; 0 to 65535.</summary>
    public int Variance { get; init; } = UnknownVariance;

    /// <summary>What an engineer sets to decide among clocks that are equally good; 0 to 255.</summary>
    public int Priority2 { get; init; } = DefaultPriority;

    /// <summary>Its identity; null where it is not known.</summary>
    public ClockIdentity? Identity { get; init; }

    /// <summary>The way the announcement came; all zero for a clock that speaks for itself.</summary>
    public AnnouncedWay Way { get; init; }
}
