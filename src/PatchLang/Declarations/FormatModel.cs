using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>How ports of a format are connected.</summary>
public enum Joining
{
    /// <summary>One cable from one output to one input.</summary>
    PointToPoint,

    /// <summary>Many ports on one switched network.</summary>
    Switched,

    /// <summary>A party line or loop-through: one output, and several inputs along the line.</summary>
    Shared,
}

/// <summary>Whether and how a format carries clock to the far end.</summary>
public enum TimeTransfer
{
    /// <summary>None: analogue, radio, files.</summary>
    None,

    /// <summary>Embedded in the signal, from the sender's clock.</summary>
    Embedded,

    /// <summary>From a clock that all members of the network share.</summary>
    Shared,
}

/// <summary>The number of channels at sample rates from <paramref name="Low"/> to <paramref name="High"/>, in Hz.</summary>
public readonly record struct Capacity(int Channels, double Low, double High);

/// <summary>A medium of a format, with the advised and the maximum length, in metres.</summary>
public sealed record Medium(string Name, double? Advised, double? AtMost);

/// <summary>A way of carrying channels, as a <c>format</c> statement declares it.</summary>
public sealed class FormatSymbol : Symbol
{
    internal FormatSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan)
    {
    }

    /// <summary>The name of the standard or a short description, if written.</summary>
    public string? Title { get; internal init; }

    /// <summary>How its ports are connected.</summary>
    public Joining Joins { get; internal init; }

    /// <summary>Whether its braces contain an error, so that what it declares is uncertain.</summary>
    internal bool IsInDoubt { get; init; }

    /// <summary>Whether one cable carries both directions.</summary>
    public bool BothWays { get; internal init; }

    /// <summary>How it carries clock.</summary>
    public TimeTransfer Time { get; internal init; }

    /// <summary>Its channels by rate; empty if only the gear determines their number.</summary>
    public ImmutableArray<Capacity> Capacities { get; internal init; } = [];

    /// <summary>The media it can use; empty if any will do.</summary>
    public ImmutableArray<Medium> Media { get; internal init; } = [];

    /// <summary>The latency of a link, or of a network that sets none, in seconds; null if not stated.</summary>
    public double? Latency { get; internal init; }

    /// <summary>Its other settings.</summary>
    public SettingTable Settings { get; internal init; } = SettingTable.Empty;

    /// <summary>The factory defaults of a member in the election of a clock leader.</summary>
    public ElectionFigures Election { get; internal init; } = ElectionFigures.None;

    /// <summary>The priority 1 from which on a member never leads (IEEE 802.1AS has such a value); null if every member may.</summary>
    public double? NeverLeads => Settings["never_leads"]?.Value?.Value;

    /// <summary>Whether it carries samples, so that the clocks at both ends matter.</summary>
    public bool IsDigital => Time != TimeTransfer.None;

    /// <summary>The most channels it carries at any rate; null if it sets no limit.</summary>
    public int? MostChannels => Capacities.IsEmpty ? null : Capacities.Max(c => c.Channels);

    /// <summary>Whether it sets a limit, and the same one at every rate.</summary>
    internal bool CarriesTheSameAtEveryRate => !Capacities.IsEmpty && Capacities.All(c => c.Channels == Capacities[0].Channels);

    /// <summary>The channels it carries at a rate in Hz; null if it sets no limit, 0 if it does not support the rate.</summary>
    public int? ChannelsAt(double rate)
    {
        if (Capacities.IsEmpty) return null;
        var most = 0;
        foreach (var capacity in Capacities)
            if (rate >= capacity.Low && rate <= capacity.High) most = Math.Max(most, capacity.Channels);
        return most;
    }

    /// <summary>A medium by name, or null.</summary>
    public Medium? MediumOf(string name) => Media.FirstOrDefault(m => m.Name == name);
}
