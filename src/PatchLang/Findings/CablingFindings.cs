using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL09: cabling. Each kind is followed by the sentences it says.</summary>
public static class CablingFindings
{
    /// <summary>PL0901: a reserved socket used.</summary>
    public static readonly FindingKind Reserved = new("PL0901", Severity.Error, "a reserved socket used") { HangsOn = Grounds.Acts };

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
    public static readonly FindingKind LengthUnknown = new("PL0907", Severity.Note, "cables of unknown length") { HangsOn = Grounds.Joins };

    /// <summary>PL0908: a connector with two cables.</summary>
    public static readonly FindingKind CabledTwice = new("PL0908", Severity.Error, "a connector with two cables");

    /// <summary>PL0909: a cable that joins nothing.</summary>
    public static readonly FindingKind CableNowhere = new("PL0909", Severity.Error, "a cable that joins nothing");

    internal static FindingMessage ReservedUsed(string point, string why, string during) =>
        new(Reserved, $"{point} is reserved{during}: {why}");

    internal static FindingMessage PastAdvised(string format, string medium, double metres, double advised, double? atMost) =>
        new(LongCable, $"{Quantity.Metres(metres)} of {medium} is long for {format}: {(atMost is { } most ? $"up to {Quantity.Metres(advised)} is advised, and {Quantity.Metres(most)} is the most" : $"it is good for {Quantity.Metres(advised)}")}");

    internal static FindingMessage PastReach(string format, string medium, double metres, double atMost) =>
        new(CableTooLong, $"{Quantity.Metres(metres)} of {medium} is too long for {format}, which reaches {Quantity.Metres(atMost)}");

    internal static FindingMessage WaysTwice(string loom, IReadOnlyList<int> ways) =>
        new(LoomWayTwice, ways.Count == 1 ? $"way {ways[0]} of {loom} is taken already" : $"ways {ChannelFindings.Numbers(ways)} of {loom} are taken already");

    internal static FindingMessage OtherConnectors(string from, string left, string to, string right) =>
        new(ConnectorsDiffer, $"{from} has {left} and {to} has {right}: the cable needs an adapter or different ends");

    internal static FindingMessage UnbalancedRun(string from, string to, double metres, double most) =>
        new(LongUnbalanced, $"{Quantity.Metres(metres)} from {from} to {to} is unbalanced and not isolated; beyond {Quantity.Metres(most)} expect hum");

    internal static FindingMessage LengthsUnknown(int count, string from, string to) =>
        new(LengthUnknown, count == 1 ? $"the length of the cable from {from} to {to} is unknown" : $"the lengths of {count:N0} cables are unknown; the first goes from {from} to {to}") { Of = [from, to] };

    internal static FindingMessage TwoCables(string connector) =>
        new(CabledTwice, $"{connector} is one connector, and has a cable already");

    internal static FindingMessage JoinsNothing(string from, string to) =>
        new(CableNowhere, $"{from} and {to} have no connectors that a cable could join");

    internal static FindingMessage CableOnNetwork(string format) =>
        new(CableNowhere, $"{format} goes over a network: join the ports to one instead of cabling them to each other");

    internal static FindingMessage NoConnector(string point) =>
        new(CableNowhere, $"{point} is inside the unit and has no connector");
}
