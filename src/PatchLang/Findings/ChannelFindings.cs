namespace PatchLang.Findings;

/// <summary>PL03: channels. Each kind is followed by the sentences it says.</summary>
public static class ChannelFindings
{
    /// <summary>PL0301: channel past the end of a port.</summary>
    public static readonly FindingKind PastEnd = new("PL0301", Severity.Error, "channel past the end of a port");

    /// <summary>PL0302: format full at this rate.</summary>
    public static readonly FindingKind FullAtRate = new("PL0302", Severity.Error, "format full at this rate");

    /// <summary>PL0303: more channels than the unit takes.</summary>
    public static readonly FindingKind LimitExceeded = new("PL0303", Severity.Error, "more channels than the unit takes");

    /// <summary>PL0304: hops of unequal widths.</summary>
    public static readonly FindingKind UnequalWidths = new("PL0304", Severity.Error, "hops of unequal widths");

    /// <summary>PL0305: a side with no place to go.</summary>
    public static readonly FindingKind SideWithoutPlace = new("PL0305", Severity.Error, "a side with no place to go");

    /// <summary>PL0306: an input driven twice.</summary>
    public static readonly FindingKind DrivenTwice = new("PL0306", Severity.Error, "an input driven twice");

    /// <summary>PL0307: an output that can feed one place feeds two.</summary>
    public static readonly FindingKind FeedsTwo = new("PL0307", Severity.Error, "an output that can feed one place feeds two");

    /// <summary>PL0308: a route only made in blocks.</summary>
    public static readonly FindingKind BrokenBlock = new("PL0308", Severity.Error, "a route only made in blocks");

    /// <summary>PL0309: a channel renumbered on a point-to-point link.</summary>
    public static readonly FindingKind Renumbered = new("PL0309", Severity.Error, "a channel renumbered on a point-to-point link");

    /// <summary>PL0310: a channel out of step.</summary>
    public static readonly FindingKind CrossedSides = new("PL0310", Severity.Hint, "a channel out of step");

    /// <summary>PL0311: a range that counts down or from nought.</summary>
    public static readonly FindingKind BadRange = new("PL0311", Severity.Error, "a range that counts down or from nought");

    /// <summary>PL0312: several fixed routes into one socket.</summary>
    public static readonly FindingKind FixedTwice = new("PL0312", Severity.Error, "several fixed routes into one socket");

    /// <summary>PL0313: one connector fed from two places.</summary>
    public static readonly FindingKind SplitConnector = new("PL0313", Severity.Error, "one connector fed from two places");

    /// <summary>PL0314: a signal that returns to itself.</summary>
    public static readonly FindingKind Feedback = new("PL0314", Severity.Error, "a signal that returns to itself");

    /// <summary>PL0315: more channels than a plan can hold.</summary>
    public static readonly FindingKind TooLarge = new("PL0315", Severity.Error, "more channels than a plan can hold");

    /// <summary>PL0316: more fitted than the unit takes.</summary>
    public static readonly FindingKind FittedBeyondLimit = new("PL0316", Severity.Note, "more fitted than the unit takes");

    /// <summary>PL0317: two inserts on one point.</summary>
    public static readonly FindingKind InsertTwice = new("PL0317", Severity.Error, "two inserts on one point");

    /// <summary>PL0318: an insert that does not return.</summary>
    public static readonly FindingKind InsertElsewhere = new("PL0318", Severity.Error, "an insert that does not return");
}
