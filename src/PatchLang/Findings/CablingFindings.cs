namespace PatchLang.Findings;

/// <summary>PL09: cabling. Each kind is followed by the sentences it says.</summary>
public static class CablingFindings
{
    /// <summary>PL0901: a reserved socket used.</summary>
    public static readonly FindingKind Reserved = new("PL0901", Severity.Error, "a reserved socket used");

    /// <summary>PL0902: a cable longer than advised.</summary>
    public static readonly FindingKind LongCable = new("PL0902", Severity.Warning, "a cable longer than advised");

    /// <summary>PL0903: a cable longer than the medium reaches.</summary>
    public static readonly FindingKind CableTooLong = new("PL0903", Severity.Error, "a cable longer than the medium reaches");

    /// <summary>PL0904: a loom's way used twice.</summary>
    public static readonly FindingKind LoomWayTwice = new("PL0904", Severity.Error, "a loom's way used twice");

    /// <summary>PL0905: connectors that differ.</summary>
    public static readonly FindingKind ConnectorsDiffer = new("PL0905", Severity.Note, "connectors that differ");

    /// <summary>PL0906: a long unbalanced run.</summary>
    public static readonly FindingKind LongUnbalanced = new("PL0906", Severity.Warning, "a long unbalanced run");

    /// <summary>PL0907: cables of unknown length.</summary>
    public static readonly FindingKind LengthUnknown = new("PL0907", Severity.Note, "cables of unknown length");

    /// <summary>PL0908: a connector with two cables.</summary>
    public static readonly FindingKind CabledTwice = new("PL0908", Severity.Error, "a connector with two cables");

    /// <summary>PL0909: a cable that joins nothing.</summary>
    public static readonly FindingKind CableNowhere = new("PL0909", Severity.Error, "a cable that joins nothing");
}
