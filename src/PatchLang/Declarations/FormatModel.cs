using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>How the ends of a format are joined.</summary>
public enum Joining
{
    /// <summary>One cable from one output to one input.</summary>
    PointToPoint,

    /// <summary>Many ports on one switched network.</summary>
    Switched,

    /// <summary>A party line or loop-through: one output, many inputs in a line.</summary>
    Shared,
}

/// <summary>Whether a format brings time to the far end.</summary>
public enum TimeTransfer
{
    /// <summary>None: analogue, radio, files.</summary>
    None,

    /// <summary>With the signal itself, from the sender's clock.</summary>
    Embedded,

    /// <summary>By a clock that all members of the network share.</summary>
    Shared,
}

/// <summary>So many channels at the rates from <paramref name="Low"/> to <paramref name="High"/>, in Hz.</summary>
public readonly record struct Capacity(int Channels, double Low, double High);

/// <summary>A medium the format goes over, how far it is advised and how far it reaches at most, in metres.</summary>
public sealed record Medium(string Name, double? Advised, double? AtMost);

/// <summary>A way of carrying channels, as a <c>format</c> statement declares it.</summary>
public sealed class FormatSymbol : Symbol
{
    internal FormatSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan)
    {
    }

    /// <summary>The name of the standard or a few words, if written.</summary>
    public string? Title { get; internal init; }

    /// <summary>How its ends are joined.</summary>
    public Joining Joins { get; internal init; }

    /// <summary>Whether something in its braces is wrong, so that nobody knows what it was to say.</summary>
    internal bool IsInDoubt { get; init; }

    /// <summary>Whether one cable carries both directions.</summary>
    public bool BothWays { get; internal init; }

    /// <summary>Whether it brings time.</summary>
    public TimeTransfer Time { get; internal init; }

    /// <summary>Its channels by rate; empty where the gear alone says how many there are.</summary>
    public ImmutableArray<Capacity> Capacities { get; internal init; } = [];

    /// <summary>The media it goes over; empty where any will do.</summary>
    public ImmutableArray<Medium> Media { get; internal init; } = [];

    /// <summary>What a link of it takes, in seconds, or a network where its setting is not written; null where nothing says.</summary>
    public double? Latency { get; internal init; }

    /// <summary>Its other settings.</summary>
    public SettingTable Settings { get; internal init; } = SettingTable.Empty;

    /// <summary>How a member's clock stands in the election of a leader as it comes from the factory.</summary>
    public ElectionFigures Election { get; internal init; } = ElectionFigures.None;

    /// <summary>The priority 1 from which on a member never leads (IEEE 802.1AS has one such); null where every member may.</summary>
    public double? NeverLeads => Settings["never_leads"]?.Value?.Value;

    /// <summary>Whether it carries samples, so that the clocks at its ends matter.</summary>
    public bool IsDigital => Time != TimeTransfer.None;

    /// <summary>The most channels it carries at any rate; null where it sets no limit.</summary>
    public int? MostChannels => Capacities.IsEmpty ? null : Capacities.Max(c => c.Channels);

    /// <summary>Whether it says how many channels it carries, and says the same for each rate.</summary>
    internal bool CarriesTheSameAtEveryRate => !Capacities.IsEmpty && Capacities.All(c => c.Channels == Capacities[0].Channels);

    /// <summary>The channels it carries at a rate in Hz; null where it sets no limit, 0 where it does not carry the rate.</summary>
    public int? ChannelsAt(double rate)
    {
        if (Capacities.IsEmpty) return null;
        var most = 0;
        foreach (var capacity in Capacities)
            if (rate >= capacity.Low && rate <= capacity.High) most = Math.Max(most, capacity.Channels);
        return most;
    }

    /// <summary>The medium of a name, or null.</summary>
    public Medium? MediumOf(string name) => Media.FirstOrDefault(m => m.Name == name);
}
