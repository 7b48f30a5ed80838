using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL04: formats and joins. Each kind is followed by the sentences it says.</summary>
public static class FormatFindings
{
    /// <summary>PL0401: ends of different formats.</summary>
    public static readonly FindingKind FormatsDiffer = new("PL0401", Severity.Error, "ends of different formats");

    /// <summary>PL0402: not joined.</summary>
    public static readonly FindingKind NotJoined = new("PL0402", Severity.Error, "not joined") { HangsOn = Grounds.Joins };

    /// <summary>PL0403: an output into an output, or an input into an input.</summary>
    public static readonly FindingKind WrongSide = new("PL0403", Severity.Error, "an output into an output, or an input into an input");

    /// <summary>PL0404: a route that the gear doesn't have.</summary>
    public static readonly FindingKind NoRoute = new("PL0404", Severity.Error, "a route that the gear doesn't have");

    /// <summary>PL0405: rates differ and nothing resamples.</summary>
    public static readonly FindingKind RatesDiffer = new("PL0405", Severity.Error, "rates differ and nothing resamples");

    /// <summary>PL0406: no way between two points.</summary>
    public static readonly FindingKind NoWay = new("PL0406", Severity.Error, "no way between two points") { HangsOn = Grounds.Signals | Grounds.Joins };

    /// <summary>PL0407: several ways between two points.</summary>
    public static readonly FindingKind SeveralWays = new("PL0407", Severity.Error, "several ways between two points");

    /// <summary>PL0408: a cable of the wrong medium.</summary>
    public static readonly FindingKind WrongMedium = new("PL0408", Severity.Error, "a cable of the wrong medium");

    /// <summary>PL0409: a rate that the format does not carry.</summary>
    public static readonly FindingKind RateNotCarried = new("PL0409", Severity.Error, "a rate that the format does not carry");

    /// <summary>PL0410: a card that does not fit.</summary>
    public static readonly FindingKind CardDoesNotFit = new("PL0410", Severity.Error, "a card that does not fit");

    /// <summary>PL0411: a port on two networks.</summary>
    public static readonly FindingKind TwoNetworks = new("PL0411", Severity.Error, "a port on two networks");

    /// <summary>PL0412: a feed does not pass there.</summary>
    public static readonly FindingKind NotPassedThere = new("PL0412", Severity.Error, "a feed does not pass there") { HangsOn = Grounds.Signals };

    /// <summary>PL0413: a tap where there is no strip.</summary>
    public static readonly FindingKind TapWithoutStrip = new("PL0413", Severity.Error, "a tap where there is no strip") { HangsOn = Grounds.Signals, IsOfWholeStatement = true };

    /// <summary>PL0414: a tap that nothing states.</summary>
    public static readonly FindingKind UnknownTap = new("PL0414", Severity.Note, "a tap that nothing states");

    /// <summary>PL0415: a sum where only one can sound.</summary>
    public static readonly FindingKind GainInEither = new("PL0415", Severity.Error, "a sum where only one can sound");

    internal static FindingMessage EndsDiffer(string from, string format, string to, string other) =>
        new(FormatsDiffer, $"{from} is {format} and {to} is {other}, and nothing between them converts");

    internal static FindingMessage MemberSpeaks(string port, string format, string network, string other) =>
        new(FormatsDiffer, $"{port} is {format}, and the network {network} is {other}");

    internal static FindingMessage MembersSpeak(IReadOnlyList<string> ports, string format, string network, string other) =>
        new(FormatsDiffer, $"the network {network} is {other}, and all that it joins speaks {format}: {NameFindings.Listed(ports)}");

    internal static FindingMessage NotANetworkFormat(string format) =>
        new(FormatsDiffer, $"{format} runs over a cable from one output to one input: it makes no network");

    /// <summary>The sentence is the same for both directions, as the mistake is the same.</summary>
    internal static FindingMessage OnNoNetwork(IReadOnlyList<string> ports) =>
        new(NotJoined, ports.Count == 2 ? $"neither {ports[0]} nor {ports[1]} is joined to a network" : $"{NameFindings.Listed(ports)} are joined to no network") { Of = [.. ports] };

    internal static FindingMessage NotOnNetwork(IReadOnlyList<string> ports, string network) =>
        new(NotJoined, $"{NameFindings.Listed(ports)} {NameFindings.Are(ports.Count)} not joined to the network {network}") { Of = [.. ports, network] };

    internal static FindingMessage OnOtherNetwork(string from, string left, string to, string right) =>
        new(NotJoined, $"{from} is on the network {left}, and {to} is on {right}") { Of = [from, left, to, right] };

    internal static FindingMessage CabledElsewhere(string from, string to, string? goal, string cableFrom, string cableTo) =>
        new(NotJoined, $"nothing joins {from} to {to}{(goal is null ? "" : $", from where it would reach {goal}")}: a cable goes from {cableFrom} to {cableTo}") { Of = [from, to, cableFrom, cableTo] };

    internal static FindingMessage NoCable(string from, string to, string? goal) =>
        new(NotJoined, $"no cable joins {from} to {to}{(goal is null ? "" : $", from where it would reach {goal}")}") { Of = goal is null ? [from, to] : [from, to, goal] };

    internal static FindingMessage LoopBackUncabled(string from, string to) =>
        new(NotJoined, $"{from} and {to} are on one unit, which a signal leaves and enters again only over a declared cable or network") { Of = [from, to] };

    internal static FindingMessage OutputIntoOutput(string from, string to) =>
        new(WrongSide, $"{from} and {to} are both outputs");

    internal static FindingMessage InputIntoInput(string from, string to) =>
        new(WrongSide, $"{from} and {to} are both inputs");

    internal static FindingMessage SidesInside(string from, string to) =>
        new(WrongSide, $"inside a unit a signal goes from inputs to outputs: {to} is an input, and {from} can't lead to it");

    internal static FindingMessage CableSide(string socket, bool isFrom) =>
        new(WrongSide, isFrom ? $"a cable leaves an output, and {socket} is an input" : $"a cable arrives at an input, and {socket} is an output");

    internal static FindingMessage CableTurned(string from, string to) =>
        new(WrongSide, $"a cable leaves an output and arrives at an input; this one is the wrong way round: {from} is an input, and {to} an output");

    internal static FindingMessage AllTheOtherWay(string from, string to) =>
        new(WrongSide, $"this cable goes from {from} to {to}, and carries nothing: all that is sent between the two goes the other way");

    internal static FindingMessage NoRouteInside(string from, string to, string gear, IReadOnlyList<string>? over) =>
        new(NoRoute, $"{gear} has no route from {from} to {to}{(over is { Count: > 0 } ? $"; one goes over {string.Join(" and ", over)}: write {(over.Count == 1 ? "that hop" : "those hops")}, too" : "")}");

    internal static FindingMessage RatesDifferOn(string from, double left, string to, double right) =>
        new(RatesDiffer, $"{from} runs at {Quantity.Frequency(left)} and {to} at {Quantity.Frequency(right)}, and nothing between them resamples");

    internal static FindingMessage MemberRate(string port, double rate, string network, double common) =>
        new(RatesDiffer, $"{port} runs at {Quantity.Frequency(rate)}, and the network {network} at {Quantity.Frequency(common)}: nothing between them resamples");

    internal static FindingMessage NoWayBetween(string from, string to, string[] deadEnds) =>
        new(NoWay, deadEnds.Length == 0
            ? $"no fixed route, cable or network leads from {from} on to {to}; write the hops between"
            : $"no fixed route, cable or network leads from {from} to {to}: the way ends at {NameFindings.Listed(deadEnds)}; write the hops between") { Of = [from, to, .. deadEnds] };

    /// <summary>A way that the plan must choose: how far it is fixed, and the ports of one that may be meant.</summary>
    internal static FindingMessage WayToChoose(string from, string to, string[] deadEnds, IReadOnlyList<string> over)
    {
        var free = over.Where(o => !deadEnds.Any(d => d == o || d.StartsWith(o + "[", StringComparison.Ordinal))).ToList();
        var fixedTo = $"the way from {from} to {to} is fixed as far as {NameFindings.Listed(deadEnds)}";
        return new(NoWay, deadEnds.Length == 0 ? $"the way from {from} to {to} is yours to choose, and is not filled in: write the hops between, such as {string.Join(" -> ", over)}"
            : free.Count == 0 ? $"{fixedTo}; the route on from there is a free one, and is not filled in: write {over[^1]} as a hop"
            : $"{fixedTo}; from there on it is yours to choose, and is not filled in: write the hops, such as {string.Join(" -> ", free)}") { Of = [from, to, .. deadEnds] };
    }

    internal static FindingMessage ArrivesElsewhere(string from, string to, string other, int channel) =>
        new(NoWay, $"no way leads from {from} to {to}: every hop between is fixed, and channel {channel} arrives at {other}") { Of = [from, to, other] };

    internal static FindingMessage WaysBetween(string from, string to, string[] ways, int count) =>
        new(SeveralWays, $"{count} ways lead from {from} to {to}; write which: {string.Join("; or ", ways)}");

    internal static FindingMessage TooManyWays(string from, string to) =>
        new(SeveralWays, $"more ways begin at {from} than can be looked at, so nobody knows whether one alone leads to {to}; write the points between");

    internal static FindingMessage OtherMedium(string format, string medium, IReadOnlyList<string> known, string? nearest) =>
        new(WrongMedium, $"{format} goes over {NameFindings.Listed(known)}, not over {medium}{NameFindings.DidYouMean(nearest)}");

    internal static FindingMessage RateNotCarriedBy(string socket, string format, double rate) =>
        new(RateNotCarried, $"{socket} is to run at {Quantity.Frequency(rate)}, which {format} does not carry");

    internal static FindingMessage NotACard(string gear, string slot) =>
        new(CardDoesNotFit, $"{gear} is a unit of its own and does not fit in {slot}, which takes a card");

    internal static FindingMessage CardForOtherSlot(string card, string made, string slot, string takes) =>
        new(CardDoesNotFit, $"{card} is made for a {made} slot, and {slot} takes cards for {takes}");

    internal static FindingMessage OnTwoNetworks(string port, string first, string second) =>
        new(TwoNetworks, $"{port} is on the network {first} already, and can't be on {second} as well");

    internal static FindingMessage JoinedTwice(string port, string network) =>
        new(TwoNetworks, $"{port} is joined to {network} already");

    internal static FindingMessage NeverThere(string feed, string port, string way) =>
        new(NotPassedThere, $"{feed} never passes {port}; its way is {way}") { Of = [feed, port] };

    internal static FindingMessage TapNotOnStrip(string point, string tap) =>
        new(TapWithoutStrip, $"`{tap}` is said of a strip, and {point} is none") { Of = [point] };

    internal static FindingMessage TapUnstated(string bus, int count) =>
        new(UnknownTap, $"nothing says whether {bus} takes {(count == 1 ? "this signal" : $"its {count} signals")} before or after the fader");

    /// <summary>Two hops of which the second leads to the first.</summary>
    internal static FindingMessage WrongOrder(FindingKind kind, string one, string other) =>
        new(kind, $"no way leads to {one} before {other}: the signal gets to {other} first, and from there to {one}");

    /// <summary>A way from its end to its start.</summary>
    internal static FindingMessage Backwards(FindingKind kind, string start, string end) =>
        new(kind, $"this way is written backwards: the signal goes from {start} to {end}");

    internal static FindingMessage SumNeedsBus(string point) =>
        new(GainInEither, $"a sum is mixed on a bus, and {point} is none");
}
