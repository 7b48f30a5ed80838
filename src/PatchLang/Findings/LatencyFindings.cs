using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL06: latency. Each kind is followed by the sentences it says.</summary>
public static class LatencyFindings
{
    /// <summary>PL0601: one sound over two ways.</summary>
    public static readonly FindingKind Comb = new("PL0601", Severity.Note, "one sound over two ways");

    /// <summary>PL0602: a performer hears themselves late.</summary>
    public static readonly FindingKind HeardLate = new("PL0602", Severity.Warning, "a performer hears themselves late");

    /// <summary>PL0603: a delay with no hop to be in.</summary>
    public static readonly FindingKind DelayNowhere = new("PL0603", Severity.Error, "a delay with no hop to be in");

    /// <summary>PL0604: contradictory latencies.</summary>
    public static readonly FindingKind Contradiction = new("PL0604", Severity.Error, "contradictory latencies");

    /// <summary>PL0605: a latency for a port that is not on the network.</summary>
    public static readonly FindingKind Stranger = new("PL0605", Severity.Error, "a latency for a port that is not on the network");

    internal static FindingMessage TwoWays(string sums, bool areSeveral, string origins, string apart, string notches, string depth, string during) =>
        new(Comb, $"{sums} {(areSeveral ? "hear" : "hears")} {origins} by two ways {apart} apart{during}: {notches}, {depth}");

    internal static FindingMessage OwnSoundLate(string feed, string performer, string monitor, string latency, string limit, string during) =>
        new(HeardLate, $"{performer} hears {feed} {latency} late {monitor}{during}; {limit}");

    internal static FindingMessage NoHopFor(string feed) =>
        new(DelayNowhere, $"{feed} has a delay, but no hop of its own that could be delayed");

    internal static FindingMessage CountsDown(string gear, double from, double to) =>
        new(Contradiction, $"a latency of {gear} goes from {Quantity.Milliseconds(from)} down to {Quantity.Milliseconds(to)}; the least stands first");

    internal static FindingMessage TwoFigures(string gear, string one, string other) =>
        new(Contradiction, $"{gear} has two figures for one way: `{one}` and `{other}`");

    internal static FindingMessage NotAMember(string port, string network) =>
        new(Stranger, $"{port} is not on the network {network}, so it receives nothing from it");
}
