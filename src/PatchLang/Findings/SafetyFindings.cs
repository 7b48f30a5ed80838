namespace PatchLang.Findings;

/// <summary>PL13: power and safety. Each kind is followed by the sentences it says.</summary>
public static class SafetyFindings
{
    /// <summary>PL1301: phantom power meets what it can harm.</summary>
    public static readonly FindingKind PhantomIntoOutput = new("PL1301", Severity.Error, "phantom power meets what it can harm");

    /// <summary>PL1302: phantom power on both legs of a split.</summary>
    public static readonly FindingKind PhantomTwice = new("PL1302", Severity.Error, "phantom power on both legs of a split");

    /// <summary>PL1303: a source that gets no phantom power.</summary>
    public static readonly FindingKind PhantomMissing = new("PL1303", Severity.Error, "a source that gets no phantom power");

    /// <summary>PL1304: private sound reaches the audience.</summary>
    public static readonly FindingKind PrivateReachesPublic = new("PL1304", Severity.Error, "private sound reaches the audience");
}
