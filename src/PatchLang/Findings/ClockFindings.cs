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
}
