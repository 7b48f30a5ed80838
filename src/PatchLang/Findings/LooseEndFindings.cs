namespace PatchLang.Findings;

/// <summary>PL11: loose ends. Each kind is followed by the sentences it says.</summary>
public static class LooseEndFindings
{
    /// <summary>PL1101: declared and never used.</summary>
    public static readonly FindingKind Unused = new("PL1101", Severity.Warning, "declared and never used");

    /// <summary>PL1102: a feed that ends in the middle of nowhere.</summary>
    public static readonly FindingKind EndsNowhere = new("PL1102", Severity.Warning, "a feed that ends in the middle of nowhere");

    /// <summary>PL1103: an unused allow.</summary>
    public static readonly FindingKind UnusedAllow = new("PL1103", Severity.Warning, "an unused allow");

    /// <summary>PL1104: two labels alike.</summary>
    public static readonly FindingKind SameLabel = new("PL1104", Severity.Note, "two labels alike");
}
