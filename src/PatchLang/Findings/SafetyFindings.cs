using PatchLang.Text;

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

    /// <summary>PL1305: more phantom power asked for than is there.</summary>
    public static readonly FindingKind PhantomOverSupply = new("PL1305", Severity.Error, "more phantom power asked for than is there");

    /// <summary>PL1306: more power drawn over a cable than is there.</summary>
    public static readonly FindingKind PowerOverSupply = new("PL1306", Severity.Error, "more power drawn over a cable than is there");

    internal static FindingMessage IntoOutput(string output, string supply) =>
        new(PhantomIntoOutput, $"phantom power from {supply} meets {output}, which is an output and can be damaged by it");

    internal static FindingMessage IntoRibbon(string output, string supply) =>
        new(PhantomIntoOutput, $"phantom power from {supply} meets {output}, a ribbon, which it can destroy");

    internal static FindingMessage SuppliedTwice(string source, string first, string second, string during) =>
        new(PhantomTwice, $"{source} gets phantom power from two sides{during}: {first} and {second}; turn one off");

    internal static FindingMessage NothingSupplies(string feed, string start) =>
        new(PhantomMissing, $"{feed} asks for phantom power, and no input on its way from {start} can supply it");

    /// <summary>Another way from the source, through a leg that passes phantom power.</summary>
    internal sealed record OtherLeg(string Feed, bool AsksAlready, string Input, string Leg);

    internal static FindingMessage Blocked(string feed, string supply, string leg, OtherLeg? other) =>
        new(PhantomMissing, $"{feed} asks for phantom power from {supply}, and {leg} does not pass it on to the source" + other switch
        {
            null => "",
            { AsksAlready: true } => $"; {other.Feed}, which reaches {other.Input} over {other.Leg}, asks for it already",
            _ => $"; ask for it in {other.Feed} instead, which reaches {other.Input} over {other.Leg}",
        });

    internal static FindingMessage NobodyAsks(string source) =>
        new(PhantomMissing, $"{source} needs phantom power, and no feed from it asks for it");

    internal static FindingMessage PublicHears(string publicFeed, string privateFeed, string way, string during) =>
        new(PrivateReachesPublic, $"the audience hears {privateFeed} in {publicFeed}{during}, by way of {way}");

    internal static FindingMessage PublicPlaceHears(string place, string publicFeed, string privateFeed, string way, string during) =>
        new(PrivateReachesPublic, $"the audience hears {privateFeed} at {place}, where {publicFeed} ends{during}, by way of {way}");

    internal static FindingMessage PhantomOver(string device, double supply, int inputs, double draw, bool isSure, string during) =>
        new(PhantomOverSupply, $"{device} has {Milliamperes(supply)} of phantom power in all; its {inputs} inputs that are asked for it{during} {(isSure ? "give" : "may have to give up to")} {Milliamperes(draw)}");

    internal static FindingMessage PowerOver(string supplier, double supply, IReadOnlyList<string> fed, double need, string during) =>
        new(PowerOverSupply, $"{supplier} has {Quantity.Number(supply)} W for what it feeds; {(fed.Count <= 3 ? string.Join(", ", fed) + (fed.Count == 1 ? " needs" : " need") : $"{fed[0]} to {fed[^1]}, {fed.Count} units, need")} {Quantity.Number(need)} W{during}");

    private static string Milliamperes(double amperes) => Quantity.Number(amperes * 1e3) + " mA";
}
