namespace PatchLang.Findings;

/// <summary>PL11: loose ends. Each kind is followed by the sentences it says.</summary>
public static class LooseEndFindings
{
    /// <summary>PL1101: declared and never used.</summary>
    public static readonly FindingKind Unused = new("PL1101", Severity.Warning, "declared and never used") { IsAboutUnused = true, HangsOn = Grounds.Signals };

    /// <summary>PL1102: a feed that ends in the middle of nowhere.</summary>
    public static readonly FindingKind EndsNowhere = new("PL1102", Severity.Warning, "a feed that ends in the middle of nowhere") { HangsOn = Grounds.Ways | Grounds.Joins };

    /// <summary>PL1103: an unused allow.</summary>
    public static readonly FindingKind UnusedAllow = new("PL1103", Severity.Warning, "an unused allow") { IsAboutUnused = true };

    /// <summary>PL1104: two labels alike.</summary>
    public static readonly FindingKind SameLabel = new("PL1104", Severity.Note, "two labels alike");

    internal static FindingMessage NeverUsed(string sort, string name) =>
        new(Unused, $"the {sort} {name} is never used") { Of = [name] };

    internal static FindingMessage SourcesIdle(int count, string first) =>
        new(Unused, count == 1 ? $"{first} names a source that goes nowhere" : $"{count:N0} feeds name sources that go nowhere; the first is {first}") { Of = [first] };

    /// <param name="feed">The feed.</param>
    /// <param name="point">Where it ends.</param>
    /// <param name="during">The phrase that limits the message to some acts.</param>
    /// <param name="into">The unit it enters there, from which any other socket may continue it; null if it leaves a unit there.</param>
    /// <param name="far">Where the cable at its end leads; null if there is none.</param>
    internal static FindingMessage StopsAt(string feed, string point, string during, string? into, string? far) =>
        new(EndsNowhere, far is null ? $"{feed} ends at {point}{during}, where nobody listens, nothing records and no way goes on"
            : $"{feed} ends at {point}{during}, where nobody listens and nothing records; a cable leads from there to {far}, and {feed} does not go on to it") { Of = into is null ? [feed, point] : [feed, point, into] };

    internal static FindingMessage SumNowhere(string feed) =>
        new(EndsNowhere, $"{feed} is a sum without a bus to be mixed on: write the bus as its first hop") { Of = [feed] };

    internal static FindingMessage NothingToAllow(string code, bool isLast) =>
        new(UnusedAllow, isLast ? $"no statement follows that could have {code}" : $"the next statement has no {code} to allow");

    internal static FindingMessage CantBeAllowed(string code) =>
        new(UnusedAllow, $"{code} can't be allowed: what is wrong with text and names has to be mended");

    internal static FindingMessage LabelsAlike(string sort, string label) =>
        new(SameLabel, $"two {sort}s are labelled \"{label}\"");
}
