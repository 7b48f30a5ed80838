using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL03: channels. Each kind is followed by the sentences it says.</summary>
public static class ChannelFindings
{
    /// <summary>PL0301: channel past the end of a port.</summary>
    public static readonly FindingKind PastEnd = new("PL0301", Severity.Error, "channel past the end of a port") { LeavesUnknown = Grounds.AllButSignals };

    /// <summary>PL0302: format full at this rate.</summary>
    public static readonly FindingKind FullAtRate = new("PL0302", Severity.Error, "format full at this rate") { LeavesUnknown = Grounds.AllButSignals };

    /// <summary>PL0303: more channels than the unit takes.</summary>
    public static readonly FindingKind LimitExceeded = new("PL0303", Severity.Error, "more channels than the unit takes");

    /// <summary>PL0304: hops of unequal widths.</summary>
    public static readonly FindingKind UnequalWidths = new("PL0304", Severity.Error, "hops of unequal widths") { HangsOn = Grounds.Signals, IsOfWholeStatement = true };

    /// <summary>PL0305: a side with no place to go.</summary>
    public static readonly FindingKind SideWithoutPlace = new("PL0305", Severity.Error, "a side with no place to go");

    /// <summary>PL0306: an input driven twice.</summary>
    public static readonly FindingKind DrivenTwice = new("PL0306", Severity.Error, "an input driven twice") { HangsOn = Grounds.Acts };

    /// <summary>PL0307: an output that can feed one place feeds two.</summary>
    public static readonly FindingKind FeedsTwo = new("PL0307", Severity.Error, "an output that can feed one place feeds two") { HangsOn = Grounds.Acts };

    /// <summary>PL0308: a route only made in blocks.</summary>
    public static readonly FindingKind BrokenBlock = new("PL0308", Severity.Error, "a route only made in blocks");

    /// <summary>PL0309: a channel renumbered on a point-to-point link.</summary>
    public static readonly FindingKind Renumbered = new("PL0309", Severity.Error, "a channel renumbered on a point-to-point link");

    /// <summary>PL0310: a channel out of step.</summary>
    public static readonly FindingKind CrossedSides = new("PL0310", Severity.Hint, "a channel out of step");

    /// <summary>PL0311: a range that counts down or from nought.</summary>
    public static readonly FindingKind BadRange = new("PL0311", Severity.Error, "a range that counts down or from nought") { LeavesUnknown = Grounds.AllButSignals };

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

    /// <summary>PL0319: two mixes on one bus.</summary>
    public static readonly FindingKind MixedTogether = new("PL0319", Severity.Warning, "two mixes on one bus");

    /// <summary>PL0320: one source on one strip, under two labels.</summary>
    public static readonly FindingKind LabelledTwice = new("PL0320", Severity.Warning, "one source on one strip, under two labels");

    /// <summary>Of the requested ranges, the parts past the end.</summary>
    internal static ImmutableArray<(int First, int Last)> Beyond(ReadOnlySpan<(int First, int Last)> asked, int count)
    {
        var beyond = ImmutableArray.CreateBuilder<(int, int)>(asked.Length);
        foreach (var (first, last) in asked)
            if (last > count || asked.Length == 1) beyond.Add((Math.Max(first, count + 1), last));
        return beyond.DrainToImmutable();
    }

    /// <summary>Names the rate if the socket carries more channels at another one.</summary>
    internal static FindingMessage ChannelPastEnd(string socket, ImmutableArray<(int First, int Last)> missing, int count, double? rate) =>
        new(PastEnd, count == 0
            ? $"{socket} carries nothing in this direction"
            : $"{socket} carries {Counted(count, "channel")}{(rate is { } at ? $" at {Quantity.Frequency(at)}" : "")}; {ThereIsNo("channel", missing)}");

    /// <summary>A port whose two directions differ; null where nothing says which one is meant.</summary>
    internal static FindingMessage DirectionPastEnd(string socket, ImmutableArray<(int First, int Last)> missing, int ins, int outs, bool? isIn) =>
        new(PastEnd, isIn switch
        {
            true => $"{socket} takes {Counted(ins, "channel")}; {ThereIsNo("channel", missing)} (it sends {outs})",
            false => $"{socket} sends {Counted(outs, "channel")}; {ThereIsNo("channel", missing)} (it takes {ins})",
            null => $"{socket} takes {Counted(ins, "channel")} and sends {outs}; {ThereIsNo("channel", missing)}",
        });

    internal static FindingMessage TooFewConnectors(string socket, string format, int perConnector, int channels, int needed, int there) =>
        new(PastEnd, $"{format} carries {Counted(perConnector, "channel")} per connector at any rate: {channels} take {Counted(needed, "connector")}, and {socket} has {there}");

    internal static FindingMessage InnerPastEnd(string socket, ImmutableArray<(int First, int Last)> missing, int count) =>
        new(PastEnd, $"{socket} is numbered 1 to {count}; {(IsOne(missing) ? $"there is no {Numbers(missing)}" : $"{Numbers(missing)} are not there")}");

    internal static FindingMessage WayPastEnd(string loom, ImmutableArray<(int First, int Last)> missing, int ways) =>
        new(PastEnd, $"{loom} has {Counted(ways, "way")}; {ThereIsNo("way", missing)}");

    internal static FindingMessage FormatFull(string socket, string format, ImmutableArray<(int First, int Last)> missing, int count, int perConnector, int declared, double rate) =>
        new(FullAtRate, $"{format} carries {Counted(perConnector, "channel")} per connector at {Quantity.Frequency(rate)}: {socket} has {count} of its {declared} at this rate, and no {Plural("channel", missing)} {Numbers(missing)}; {declared} channels take {Counted((declared + perConnector - 1) / perConnector, "connector")}");

    private static string ThereIsNo(string what, ImmutableArray<(int First, int Last)> missing) =>
        $"there {(IsOne(missing) ? "is" : "are")} no {Plural(what, missing)} {Numbers(missing)}";

    private static bool IsOne(ImmutableArray<(int First, int Last)> missing) => missing is [var (first, last)] && first == last;

    private static string Plural(string what, ImmutableArray<(int First, int Last)> missing) => IsOne(missing) ? what : what + "s";

    /// <summary>Lists numbers, those that follow each other as ranges.</summary>
    internal static string Numbers(IEnumerable<int> numbers)
    {
        var runs = ImmutableArray.CreateBuilder<(int First, int Last)>();
        foreach (var number in numbers.Order())
            if (runs.Count > 0 && runs[^1].Last == number - 1) runs[^1] = (runs[^1].First, number);
            else runs.Add((number, number));
        return Numbers(runs.ToImmutable());
    }

    private static string Numbers(ImmutableArray<(int First, int Last)> missing) =>
        NameFindings.Listed([.. missing.Select(m => m.First == m.Last ? $"{m.First}" : $"{m.First} to {m.Last}")]);

    internal static FindingMessage ConnectorTooSmall(string socket, string format, int declared, int most) =>
        new(FullAtRate, $"{format} carries {Counted(most, "channel")} per connector at most, at whatever rate, and {socket} is to have {declared} on one");

    internal static FindingMessage OverLimit(string device, int used, int most, bool isIn, IReadOnlyList<(string Name, int Used)> through, string during) =>
        new(LimitExceeded, $"{device} takes {most} channels {(isIn ? "in" : "out")} through {NameFindings.Listed([.. through.Select(t => t.Name)])} together, and {used} are used{during}{(through.Count > 1 ? $" ({string.Join(", ", through.Select(t => $"{t.Name} {t.Used}"))})" : "")}: here it is full");

    internal static FindingMessage MoreFitted(string device, int fitted, int most, bool isIn, string[] through) =>
        new(FittedBeyondLimit, $"{device} takes {most} channels {(isIn ? "in" : "out")} through {NameFindings.Listed(through)} together; {fitted} are fitted, of which {fitted - most} must stay unused");

    internal static FindingMessage OriginWidth(string feed, int width, int origin) =>
        new(UnequalWidths, $"{feed} is {Counted(width, "channel")} wide, and starts from {Counted(origin, "channel")}") { Of = [feed] };

    internal static FindingMessage HopWidth(string socket, int channels, int width, bool isIndexed) =>
        new(UnequalWidths, $"{Counted(width, "channel")} {(width == 1 ? "arrives" : "arrive")} at {Counted(channels, "channel")} of {socket}{(isIndexed ? "" : ", which without an index means all of them")}") { Of = [socket] };

    internal static FindingMessage ChoiceWidths(int first, int other) =>
        new(UnequalWidths, $"the alternatives differ in width: {Counted(first, "channel")} and {Counted(other, "channel")}");

    internal static FindingMessage CableCounts(string from, int outs, string to, int ins) =>
        new(UnequalWidths, $"{Counted(outs, "connector")} of {from} can't be joined one to one with {Counted(ins, "connector")} of {to}") { Of = [from, to] };

    internal static FindingMessage WayCount(string loom, int ways, int cables) =>
        new(UnequalWidths, $"{Counted(ways, "way")} of {loom} can't take {Counted(cables, "cable")}") { Of = [loom] };

    internal static FindingMessage LabelCount(int labels, int elements) =>
        new(UnequalWidths, $"{labels} labels are written, and there are {elements} to be labelled: write one for all, or one each");

    internal static FindingMessage NoPlaceFor(string side, string feed, string sides) =>
        new(SideWithoutPlace, $"side {side} has no place in {feed}, which has {sides}: give it one with `to [ … ]`");

    internal static FindingMessage TwoSources(string point, string first, string second, string during) =>
        new(DrivenTwice, $"{point} takes one source, and gets two{during}: {first} and {second}");

    internal static FindingMessage TwoLabels(string strip, string source, string first, string label, string second, string other, string during) =>
        new(LabelledTwice, $"{first} (\"{label}\") and {second} (\"{other}\") both take {source} to {strip}{during}: one of them is somewhere else, or is there in another act");

    internal static FindingMessage TwoMixes(string bus, string first, string second, string during) =>
        new(MixedTogether, $"{first} and {second} are mixed on one bus{during}, {bus}: what goes on from there, for either, is both of them together");

    internal static FindingMessage TwoAtOneSource(string point, string port, string first, string second, string setting, string its, string others, string during) =>
        new(DrivenTwice, $"{point} is one socket for one source, but two start there{during}: {first} ({setting} \"{its}\") and {second} ({setting} \"{others}\"); if they are the same, start {second} from `{first} at {port}`");

    internal static FindingMessage FeedsTwoPlaces(string output, string first, string second, string during) =>
        new(FeedsTwo, $"{output} can feed one input only, but goes to two{during}: {second} and {first}");

    internal static FindingMessage FedFromTwo(string input, string first, string second, string during) =>
        new(SplitConnector, $"all channels of {input} come over one cable, but are patched from two places{during}: {second} and {first}");

    /// <summary>Lists the places a channel can take, if the mistake is its place within the block.</summary>
    internal static FindingMessage NotAsABlock(string from, string to, string gear, int size, string starts, string? places) =>
        new(BrokenBlock, places is not null
            ? $"{gear} routes this in blocks of {size} only, whole and in order: {from} can't go to {to}; blocks begin at {starts}{(places.Length > 0 ? $", so it can go to {places}" : "")}"
            : $"{gear} routes this in blocks of {size} only, whole and in order: the block that {to} is in gets its other channels from elsewhere than {from}; blocks begin at {starts}");

    internal static FindingMessage NumberChanges(string from, string to, string format, int leaves, int arrives) =>
        new(Renumbered, $"a channel keeps its number on a point-to-point link: over {format}, {from} arrives as channel {leaves}, not as channel {arrives} at {to}");

    internal static FindingMessage SidesCross(string side, string other) =>
        new(CrossedSides, $"side {side} is taken from side {other}");

    internal static FindingMessage OutOfStep(string firstFrom, string firstTo, string secondFrom, string secondTo) =>
        new(CrossedSides, $"these cross: {firstFrom} goes to {firstTo}, and {secondFrom} to {secondTo}");

    internal static FindingMessage LeavesTheRow(string from, string to) =>
        new(CrossedSides, $"{from} leaves the row: it goes to {to}");

    /// <summary>Numbers in brackets that count nothing; a negative one could not be read as a whole number.</summary>
    internal static FindingMessage BadRangeOf(int from, int to, string written, int most)
    {
        if (from >= 0 && to >= 0) return new(BadRange, from < 1 ? "numbers in brackets start at 1: there is no 0" : $"a range counts up: {to}..{from}, not {from}..{to}");
        var number = written.Split("..", StringSplitOptions.TrimEntries).FirstOrDefault(n => !int.TryParse(n, NumberStyles.None, CultureInfo.InvariantCulture, out _)) ?? written;
        return new(BadRange, number.All(char.IsAsciiDigit) ? $"{number} is too great a number: a plan has {most:N0} channels at most"
            : char.IsAsciiDigit(number[0]) ? $"{number} is no whole number: numbers in brackets count 1, 2, 3 and so on"
            : $"a range goes from one number to another, and `{number}` is none");
    }

    internal static FindingMessage FixedTwiceInto(string gear, string socket, int channel) =>
        new(FixedTwice, $"{gear} joins several fixed routes to {socket}[{channel}], which takes one source");

    internal static FindingMessage ReturnsToItself(string[] points, int count, string during) =>
        new(Feedback, $"this signal returns to itself{during}, over {string.Join(", ", points)}{(count > points.Length ? $" and {count - points.Length} more points" : "")}");

    internal static FindingMessage TooManyInSocket(long count, int most) =>
        new(TooLarge, $"a socket has at most {most:N0} channels, and this would have {count:N0}");

    internal static FindingMessage TooManyElements(long count) =>
        new(TooLarge, $"{count:N0} are more than a plan can hold");

    internal static FindingMessage TooManyListed(int most) =>
        new(TooLarge, $"a list in brackets has at most {most:N0} elements: one range may have more");

    internal static FindingMessage PlanTooLarge(long count, int most) =>
        new(TooLarge, $"with this, the plan has {count:N0} channels on all sockets together; it can hold {most:N0}");

    internal static FindingMessage SignalTooLarge(long count, int most) =>
        new(TooLarge, $"this alone has {count:N0} points on its way, counted channel by channel; all signals of a plan together can have {most:N0}");

    internal static FindingMessage SignalsTooLarge(long count, int most) =>
        new(TooLarge, $"with this, the signals of the plan have {count:N0} points on their ways, counted channel by channel; it can hold {most:N0}");

    internal static FindingMessage TooManyActs(int most) =>
        new(TooLarge, $"a plan has at most {most} acts");

    internal static FindingMessage TwoInserts(string strip, string during) =>
        new(InsertTwice, $"{strip} has one insert point, and two inserts{during}");

    internal static FindingMessage InsertNotOnStrip(string point) =>
        new(InsertElsewhere, $"an insert loops out of a strip and back; {point} is no strip");

    internal static FindingMessage InsertStaysAway(string device) =>
        new(InsertElsewhere, $"an insert ends at an input of {device}, from where it returns into the strip it left");

    private static string Counted(long count, string one) => NameFindings.Counted(count, one);
}
