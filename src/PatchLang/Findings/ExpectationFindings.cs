namespace PatchLang.Findings;

/// <summary>PL10: expectations. Each kind is followed by the sentences it says.</summary>
public static class ExpectationFindings
{
    /// <summary>PL1001: an expectation that does not hold.</summary>
    public static readonly FindingKind Broken = new("PL1001", Severity.Error, "an expectation that does not hold");

    /// <summary>PL1002: an expectation that can't be decided.</summary>
    public static readonly FindingKind Undecided = new("PL1002", Severity.Warning, "an expectation that can't be decided");

    /// <summary>PL1003: an expectation that applies in no act.</summary>
    public static readonly FindingKind AppliesNowhere = new("PL1003", Severity.Warning, "an expectation that applies in no act");

    /// <summary>PL1004: an expectation about a point that nothing feeds.</summary>
    public static readonly FindingKind NothingFeeds = new("PL1004", Severity.Warning, "an expectation about a point that nothing feeds");
}
