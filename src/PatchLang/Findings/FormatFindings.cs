namespace PatchLang.Findings;

/// <summary>PL04: formats and joins. Each kind is followed by the sentences it says.</summary>
public static class FormatFindings
{
    /// <summary>PL0401: ends of different formats.</summary>
    public static readonly FindingKind FormatsDiffer = new("PL0401", Severity.Error, "ends of different formats");

    /// <summary>PL0402: not joined.</summary>
    public static readonly FindingKind NotJoined = new("PL0402", Severity.Error, "not joined");

    /// <summary>PL0403: an output into an output, or an input into an input.</summary>
    public static readonly FindingKind WrongSide = new("PL0403", Severity.Error, "an output into an output, or an input into an input");

    /// <summary>PL0404: a route that the gear doesn't have.</summary>
    public static readonly FindingKind NoRoute = new("PL0404", Severity.Error, "a route that the gear doesn't have");

    /// <summary>PL0405: rates differ and nothing resamples.</summary>
    public static readonly FindingKind RatesDiffer = new("PL0405", Severity.Error, "rates differ and nothing resamples");

    /// <summary>PL0406: no way between two points.</summary>
    public static readonly FindingKind NoWay = new("PL0406", Severity.Error, "no way between two points");

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
    public static readonly FindingKind NotPassedThere = new("PL0412", Severity.Error, "a feed does not pass there");

    /// <summary>PL0413: a tap where there is no strip.</summary>
    public static readonly FindingKind TapWithoutStrip = new("PL0413", Severity.Error, "a tap where there is no strip");

    /// <summary>PL0414: a tap that nothing states.</summary>
    public static readonly FindingKind UnknownTap = new("PL0414", Severity.Note, "a tap that nothing states");

    /// <summary>PL0415: a sum where only one can sound.</summary>
    public static readonly FindingKind GainInEither = new("PL0415", Severity.Error, "a sum where only one can sound");
}
