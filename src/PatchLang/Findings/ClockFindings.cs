using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL05: clocks. Each kind is followed by the sentences it says.</summary>
public static class ClockFindings
{
    /// <summary>PL0501: two clocks on one link.</summary>
    public static readonly FindingKind Conflict = new("PL0501", Severity.Error, "two clocks on one link");

    /// <summary>PL0502: clocks that follow each other in a circle.</summary>
    public static readonly FindingKind Loop = new("PL0502", Severity.Error, "clocks that follow each other in a circle");

    /// <summary>PL0503: a clock source that brings no time.</summary>
    public static readonly FindingKind NoTime = new("PL0503", Severity.Error, "a clock source that brings no time");

    /// <summary>PL0504: no timekeeper.</summary>
    public static readonly FindingKind NoTimekeeper = new("PL0504", Severity.Warning, "no timekeeper");

    /// <summary>PL0505: two timekeepers on one side.</summary>
    public static readonly FindingKind TwoTimekeepers = new("PL0505", Severity.Error, "two timekeepers on one side");

    /// <summary>PL0506: digital gear without a clock.</summary>
    public static readonly FindingKind NoClock = new("PL0506", Severity.Error, "digital gear without a clock");

    /// <summary>PL0507: the network is led by another clock.</summary>
    public static readonly FindingKind OtherLeader = new("PL0507", Severity.Warning, "the network is led by another clock");

    /// <summary>PL0508: not a source of this clock.</summary>
    public static readonly FindingKind NotASource = new("PL0508", Severity.Error, "not a source of this clock");

    /// <summary>PL0509: two sources for one clock.</summary>
    public static readonly FindingKind FollowedTwice = new("PL0509", Severity.Error, "two sources for one clock");

    /// <summary>PL0510: a timekeeper that follows another clock.</summary>
    public static readonly FindingKind TimekeeperFollows = new("PL0510", Severity.Error, "a timekeeper that follows another clock");

    internal static FindingMessage TwoClocks(string left, string leftRoot, string right, string rightRoot, double rate, string slip) =>
        new(Conflict, $"{left} runs on the clock of {leftRoot} and {right} on that of {rightRoot}, with nothing between that resamples: at {Quantity.Frequency(rate)} expect {slip}");

    internal static FindingMessage InCircle(string[] clocks) =>
        new(Loop, clocks.Length == 1 ? $"the clock of {clocks[0]} follows itself" : $"the clocks of {NameFindings.Listed(clocks)} follow each other in a circle: none of them keeps the rate");

    internal static FindingMessage BringsNoTime(string clock, string source, string why) =>
        new(NoTime, $"{clock} follows {source}, and {why}: it gets no time");

    internal static FindingMessage NobodyKeepsTime(string[] clocks, string? root) =>
        new(NoTimekeeper, $"{clocks.Length} clocks are joined ({NameFindings.Listed(clocks)}), and no `timekeeper` says which of them leads{(root is null ? "" : $"; as things are set, {root} does")}");

    internal static FindingMessage TwoKeepers(string first, string second) =>
        new(TwoTimekeepers, $"{first} and {second} are both named as timekeeper, and are joined without a resampler between");

    internal static FindingMessage NoClockIn(string gear, string socket, string format) =>
        new(NoClock, $"{gear} has {socket}, which is {format} and digital, and no clock");

    internal static FindingMessage NoClockAt(string device, bool isCard) =>
        new(NoClock, isCard ? $"{device} has no clock of its own and runs on its host's" : $"{device} has no clock");

    internal static FindingMessage LedByAnother(string network, string leader, string root, string keeper) =>
        new(OtherLeader, leader == root
            ? $"the network {network} is led by {leader}, which runs free; the timekeeper is {keeper}"
            : $"the network {network} is led by {leader}, which runs on the clock of {root}; the timekeeper is {keeper}");

    internal static FindingMessage NotASourceOf(string clock, string source, IReadOnlyList<string> known) =>
        new(NotASource, $"{clock} can't take its time from {source}; it can from {NameFindings.Listed(known)}");

    internal static FindingMessage HostOutsideCard(string gear) =>
        new(NotASource, $"`host` is what a card sits in, and {gear} is no card");

    internal static FindingMessage TwoSources(string clock) =>
        new(FollowedTwice, $"{clock} is told to follow two sources at once");

    internal static FindingMessage OneKeeper(int count) =>
        new(TwoTimekeepers, $"a timekeeper is one clock, and this names {count}");

    internal static FindingMessage KeeperFollows(string clock, string source, string root) =>
        new(TimekeeperFollows, $"{clock} is named as timekeeper and follows {source}, so that {root} is the one that keeps time");
}
