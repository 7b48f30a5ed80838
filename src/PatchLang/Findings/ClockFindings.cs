using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL05: clocks. Each kind is followed by the sentences it says.</summary>
public static class ClockFindings
{
    /// <summary>PL0501: two clocks on one link.</summary>
    public static readonly FindingKind Conflict = new("PL0501", Severity.Error, "two clocks on one link") { HangsOn = Grounds.Time };

    /// <summary>PL0502: clocks that follow each other in a circle.</summary>
    public static readonly FindingKind Loop = new("PL0502", Severity.Error, "clocks that follow each other in a circle");

    /// <summary>PL0503: a clock source that brings no time.</summary>
    public static readonly FindingKind NoTime = new("PL0503", Severity.Error, "a clock source that brings no time") { HangsOn = Grounds.Ways | Grounds.Time };

    /// <summary>PL0504: no timekeeper.</summary>
    public static readonly FindingKind NoTimekeeper = new("PL0504", Severity.Warning, "no timekeeper") { HangsOn = Grounds.Time };

    /// <summary>PL0505: two timekeepers on one side.</summary>
    public static readonly FindingKind TwoTimekeepers = new("PL0505", Severity.Error, "two timekeepers on one side");

    /// <summary>PL0506: digital gear without a clock.</summary>
    public static readonly FindingKind NoClock = new("PL0506", Severity.Error, "digital gear without a clock") { HangsOn = Grounds.Time };

    /// <summary>PL0507: the network is led by another clock.</summary>
    public static readonly FindingKind OtherLeader = new("PL0507", Severity.Warning, "the network is led by another clock") { HangsOn = Grounds.Time };

    /// <summary>PL0508: not a source of this clock.</summary>
    public static readonly FindingKind NotASource = new("PL0508", Severity.Error, "not a source of this clock");

    /// <summary>PL0509: two sources for one clock.</summary>
    public static readonly FindingKind FollowedTwice = new("PL0509", Severity.Error, "two sources for one clock");

    /// <summary>PL0510: a timekeeper that follows another clock.</summary>
    public static readonly FindingKind TimekeeperFollows = new("PL0510", Severity.Error, "a timekeeper that follows another clock");

    /// <summary>PL0511: a leader that identities decide.</summary>
    public static readonly FindingKind Undecided = new("PL0511", Severity.Warning, "a leader that identities decide") { HangsOn = Grounds.Time };

    /// <summary>PL0512: a standby that does not take over.</summary>
    public static readonly FindingKind StandbyFails = new("PL0512", Severity.Warning, "a standby that does not take over") { HangsOn = Grounds.Time };

    /// <summary>PL0513: two clocks once the timekeeper is lost.</summary>
    public static readonly FindingKind SlipsWhenLost = new("PL0513", Severity.Note, "two clocks once the timekeeper is lost") { HangsOn = Grounds.Ways | Grounds.Time };

    /// <summary>PL0514: a clock beyond what its follower goes along with.</summary>
    public static readonly FindingKind BeyondCapture = new("PL0514", Severity.Warning, "a clock beyond what its follower goes along with");

    /// <summary>PL0515: a line that is terminated twice.</summary>
    public static readonly FindingKind TerminatedTwice = new("PL0515", Severity.Warning, "a line that is terminated twice");

    /// <summary>PL0516: a figure that no clock has.</summary>
    public static readonly FindingKind ImpossibleFigure = new("PL0516", Severity.Error, "a figure that no clock has");

    /// <summary>PL0517: figures of clocks that contradict each other.</summary>
    public static readonly FindingKind Contradiction = new("PL0517", Severity.Error, "figures of clocks that contradict each other");

    /// <summary>PL0518: a rate that no standard knows.</summary>
    public static readonly FindingKind UnknownRate = new("PL0518", Severity.Warning, "a rate that no standard knows");

    internal static FindingMessage TwoClocks(string left, string[] leftRoots, string right, string[] rightRoots, double rate, string slip) =>
        new(Conflict, $"{left} runs on the clock of {string.Join(" or ", leftRoots)} and {right} on that of {string.Join(" or ", rightRoots)}, with nothing between that resamples: at {Quantity.Frequency(rate)} expect {slip}") { Of = [left, right, .. leftRoots, .. rightRoots] };

    internal static FindingMessage InCircle(string[] clocks) =>
        new(Loop, clocks.Length == 1 ? $"the clock of {clocks[0]} follows itself" : $"the clocks of {NameFindings.Listed(clocks)} follow each other in a circle: none of them keeps the rate");

    internal static FindingMessage BringsNoTime(string clock, string source, string why) =>
        new(NoTime, $"{clock} is to follow {source}, but {why}: it has nothing to lock to") { Of = [clock] };

    internal static FindingMessage NobodyKeepsTime(string[] clocks, string? root) =>
        new(NoTimekeeper, $"{clocks.Length} clocks are joined ({NameFindings.Listed(clocks)}), and no `timekeeper` says which of them leads{(root is null ? "" : $"; as things are set, {root} does")}") { Of = [.. clocks] };

    internal static FindingMessage TwoKeepers(string first, string second, string? slip) =>
        new(TwoTimekeepers, first == second ? $"{first} is named as timekeeper twice" : $"{first} and {second} are both named as timekeeper, and are joined without a resampler between{(slip is null ? "" : $": expect {slip}")}");

    internal static FindingMessage NoClockIn(string gear, string socket, string format) =>
        new(NoClock, $"{gear} has a digital socket, {socket} ({format}), but no clock") { Of = [gear] };

    internal static FindingMessage NoClockAt(string device, bool isCard) =>
        new(NoClock, isCard ? $"{device} has no clock of its own and runs on its host's" : $"{device} has no clock") { Of = [device] };

    internal static FindingMessage LedByAnother(string network, string leader, string root, string keeper, string? why, string? slip) =>
        new(OtherLeader,
            $"the network {network} is led by {leader}, which {(leader == root ? "runs free" : $"runs on the clock of {root}")}{(why is null ? "" : $": {why}")}; the timekeeper is {keeper}"
            + (slip is null ? "" : $", and what passes between the two clocks gives {slip}")) { Of = [network, leader, root, keeper] };

    internal static FindingMessage LeftToIdentity(string network, string[] alike, string? lost) =>
        new(Undecided, $"{(lost is null ? "" : $"if {lost} is lost, ")}who leads the network {network} is left to the identities of {NameFindings.Listed(alike)}: all else that they announce is the same") { Of = [network, .. alike] };

    internal static FindingMessage StandbyIsLostToo(string standby, string keeper) =>
        new(StandbyFails, standby == keeper ? $"{keeper} is named as its own standby: if it is lost, nobody takes over" : $"{standby} is part of {keeper}: whatever takes one of them takes both") { Of = [standby, keeper] };

    internal static FindingMessage StandbyHasNoTime(string standby, string keeper, string source) =>
        new(StandbyFails, $"if {keeper} is lost, {standby} has nothing to lock to: it follows {source}, and can't run free") { Of = [standby, keeper] };

    internal static FindingMessage StandbyIsElsewhere(string standby, string keeper) =>
        new(StandbyFails, $"{standby} is the standby of {keeper}, but no digital link joins the two without a resampler between: it can't take over from it") { Of = [standby, keeper] };

    internal static FindingMessage StandbyNeverLeads(string standby, string network) =>
        new(StandbyFails, $"{standby} never leads the network {network}: its clock class, or its priority 1, says so") { Of = [standby, network] };

    internal static FindingMessage StandbyComesLater(string standby, string keeper, string network, string leader, string why) =>
        new(StandbyFails, $"if {keeper} is lost, {leader} leads the network {network} before {standby}: {why}") { Of = [standby, keeper, network, leader] };

    internal static FindingMessage LossLeavesTwo(string keeper, string from, string to, int more, string fromRoot, string toRoot, string slip) =>
        new(SlipsWhenLost, $"if {keeper} is lost, {fromRoot} and {toRoot} each run free, and {from} -> {to}{(more == 0 ? "" : $", like {more} more,")} gives {slip}") { Of = [keeper, fromRoot, toRoot, from, to] };

    internal static FindingMessage NotCaptured(string[] clocks, double capture, string root, double accuracy) =>
        new(BeyondCapture, $"{root} may be {Quantity.Number(accuracy)} ppm off, and {NameFindings.Listed(clocks)}, which {(clocks.Length == 1 ? "follows" : "follow")} it, {(clocks.Length == 1 ? "locks" : "lock")} only up to {Quantity.Number(capture)} ppm: lock may be lost");

    internal static FindingMessage TwoTerminations(string line, string[] sockets) =>
        new(TerminatedTwice, $"the line from {line} is terminated {sockets.Length} times, at {NameFindings.Listed(sockets)}: once is right, at its end");

    internal static FindingMessage FigureOf(string setting, string why) => new(ImpossibleFigure, $"{setting} {why}");

    internal static FindingMessage IdentityOfSeveral(string unit, int count) =>
        new(ImpossibleFigure, $"an identity is one clock's, and {unit} is {count} pieces");

    internal static FindingMessage FigureTwice(string setting, string clock) =>
        new(Contradiction, $"{setting} of {clock} is written twice");

    internal static FindingMessage IdentityTwice(string first, string second, string identity) =>
        new(Contradiction, $"{first} and {second} have the same identity, {identity}: no two clocks do");

    internal static FindingMessage RateOfNoStandard(double rate, string nearest) =>
        new(UnknownRate, $"{Quantity.Frequency(rate)} is no sample rate of the trade, nor one pulled for pictures; the nearest is {nearest}");

    internal static FindingMessage RateInOtherUnit(double rate, string meant) =>
        new(UnknownRate, $"{Quantity.Frequency(rate)} is no sample rate; did you mean {meant}?");

    internal static FindingMessage NotASourceOf(string clock, string source, IReadOnlyList<string> known) =>
        new(NotASource, $"{clock} can't take its time from {source}; it can from {NameFindings.Listed(known)}");

    internal static FindingMessage HostOutsideCard(string gear) =>
        new(NotASource, $"`host` is what a card sits in, and {gear} is no card");

    internal static FindingMessage TwoSources(string clock) =>
        new(FollowedTwice, $"{clock} is told to follow two sources at once");

    internal static FindingMessage OneKeeper(int count) =>
        new(TwoTimekeepers, $"a timekeeper is one clock, and this names {count}");

    internal static FindingMessage KeeperFollows(string clock, string source, string root) =>
        new(TimekeeperFollows, $"{clock} is named as timekeeper, but follows {source}: the clock leader is {root}");
}
