namespace PatchLang.Findings;

/// <summary>PL10: expectations. Each kind is followed by the sentences it says.</summary>
public static class ExpectationFindings
{
    /// <summary>PL1001: an expectation that does not hold.</summary>
    public static readonly FindingKind Broken = new("PL1001", Severity.Error, "an expectation that does not hold");

    /// <summary>PL1002: an expectation that can't be decided.</summary>
    public static readonly FindingKind Undecided = new("PL1002", Severity.Warning, "an expectation that can't be decided") { HangsOn = Grounds.Figures };

    /// <summary>PL1003: an expectation that applies in no act.</summary>
    public static readonly FindingKind AppliesNowhere = new("PL1003", Severity.Warning, "an expectation that applies in no act") { HangsOn = Grounds.Acts, IsOfWholeStatement = true };

    /// <summary>PL1004: an expectation about a point that nothing feeds.</summary>
    public static readonly FindingKind NothingFeeds = new("PL1004", Severity.Warning, "an expectation about a point that nothing feeds") { HangsOn = Grounds.Signals };

    /// <summary>Whether a kind reports the result of a promise.</summary>
    internal static bool IsOfPromise(FindingKind kind) => kind == Broken || kind == Undecided || kind == AppliesNowhere || kind == NothingFeeds;

    // A missing or early sound may be due to something that could not be read. An unwanted or late one is there whatever else is missing.
    private const Grounds Lack = Grounds.Signals | Grounds.Joins;

    internal static FindingMessage DoesNotHear(string point, string wanted, string[] heard, string during) =>
        new(Broken, heard.Length == 0 ? $"{point} does not hear {wanted}{during}: nothing arrives there" : $"{point} does not hear {wanted}{during}: what arrives there is {NameFindings.Listed(heard)}") { HangsOn = Lack, Of = [point, wanted, .. heard] };

    internal static FindingMessage HearsAll(string point, string unwanted, string way, string during) =>
        new(Broken, $"{point} hears {unwanted}{during}, by way of {way}");

    internal static FindingMessage TooFewSpare(string socket, string side, int spare, int used, int reserved, string wanted, string during) =>
        new(Broken, $"{socket} has {spare} spare {side}{during}, with {used} used{(reserved == 0 ? "" : $" and {reserved} reserved")}; {wanted} {(spare == 1 ? "is" : "are")} expected");

    internal static FindingMessage ArrivesAt(string point, string from, string time, bool isAtMost, bool isKnown, string wanted, string during) =>
        new(Broken, isAtMost
            ? $"{point} hears {from} after {(isKnown ? "" : "at least ")}{time}{during}; {wanted} is expected"
            : $"{point} hears {from} after {time} already{during}; {wanted} is expected") { HangsOn = isAtMost ? Grounds.None : Lack, Of = [point, from] };

    internal static FindingMessage HearsNothingOf(string subject, string from, string during) =>
        new(Broken, $"{subject} does not hear {from}{during}, so there is no latency between them") { HangsOn = Lack, Of = [subject, from] };

    internal static FindingMessage LatencyUnknown(string point, string missing, string known, string during) =>
        new(Undecided, $"the latency at {point} is unknown{during}: {missing}; what is known comes to {known}");

    internal static FindingMessage HeadroomAt(string point, string left, string level, string allPeaks, bool isWhole, string wanted, string during) =>
        new(Broken, $"{point} has {(isWhole ? "" : "at most ")}{left} of headroom{during}: {(isWhole ? "" : "what is known of ")}its level is {level}{allPeaks}; {wanted} is expected");

    internal static FindingMessage HeadroomUnknown(string point, string missing, string known, string during) =>
        new(Undecided, $"the headroom at {point} is unknown{during}: {missing}{known}");

    internal static FindingMessage NowhereApplies() =>
        new(AppliesNowhere, "in no act is everything there that this names, so it is never checked");

    internal static FindingMessage NothingThere(string point) =>
        new(NothingFeeds, $"nothing feeds {point}, so this holds whatever else the plan says") { Of = [point] };
}
