using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>PL07: levels. Each kind is followed by the sentences it says; levels are passed as formatted text.</summary>
public static class LevelFindings
{
    /// <summary>PL0701: a place that clips.</summary>
    public static readonly FindingKind Clips = new("PL0701", Severity.Error, "a place that clips");

    /// <summary>PL0702: range lost where alignments differ.</summary>
    public static readonly FindingKind RangeLost = new("PL0702", Severity.Note, "range lost where alignments differ");

    /// <summary>PL0703: a level that an input is not made for.</summary>
    public static readonly FindingKind OtherClass = new("PL0703", Severity.Warning, "a level that an input is not made for");

    /// <summary>PL0704: a gain that can't be set.</summary>
    public static readonly FindingKind CantBeSet = new("PL0704", Severity.Error, "a gain that can't be set");

    /// <summary>PL0705: a performer's mix that the house's faders move.</summary>
    public static readonly FindingKind HouseFader = new("PL0705", Severity.Warning, "a performer's mix that the house's faders move");

    /// <summary>PL0706: level figures that contradict each other.</summary>
    public static readonly FindingKind Contradiction = new("PL0706", Severity.Error, "level figures that contradict each other");

    /// <summary>PL0707: a signal twice in one sum.</summary>
    public static readonly FindingKind SummedTwice = new("PL0707", Severity.Warning, "a signal twice in one sum");

    internal static FindingMessage TwiceInSum(string member) =>
        new(SummedTwice, $"`{member}` is in this sum already: equal copies add as voltages, so that twice is 6 dB louder than once");

    internal static FindingMessage ClipsAt(string point, string level, string with, string most, string over, string others, string during) =>
        new(Clips, $"{point} clips{during}: it gets {level}{with}, {over} more than the {most} that it carries{others}");

    internal static FindingMessage ClipsAnyway(string point, string level, string most, string over, string others, string during) =>
        new(Clips, $"{point} clips{during} even at its lowest gain: it gets {level}, {over} more than the {most} that it carries{others}");

    internal static FindingMessage OutputTooFull(string output, string outputFull, string input, string inputFull, string lost, string more) =>
        new(RangeLost, $"{output} is full at {outputFull} and {input} at {inputFull}, so the last {lost} of the output can't be used{more}");

    internal static FindingMessage InputTooFull(string output, string outputFull, string input, string inputFull, string lost, string more) =>
        new(RangeLost, $"{output} is full at {outputFull} and {input} at {inputFull}, so the last {lost} of the input are never reached{more}");

    internal static FindingMessage MicIntoLine(string output, string input, string made) =>
        new(OtherClass, $"{output} gives a microphone's level, and {input} is made for {made}: it is 40 to 60 dB too low there");

    internal static FindingMessage InstrumentInto(string output, string input, string made) =>
        new(OtherClass, $"{output} is an instrument's pickup, and {input} is made for {made}: its impedance is too low for a pickup, and the sound dull and faint");

    internal static FindingMessage SpeakerInto(string output, string input, string made) =>
        new(OtherClass, $"{output} drives loudspeakers, and {input} is made for {made}: it can be destroyed");

    internal static FindingMessage IntoSpeaker(string output, string input, string gives) =>
        new(OtherClass, $"{input} is a loudspeaker's terminal, and {output} gives {gives}: an amplifier is missing between them");

    internal static FindingMessage ConsumerIntoProfessional(string output, string input, string low) =>
        new(OtherClass, $"{output} gives consumer line level, and {input} is made for professional line level: it arrives {low} too low");

    internal static FindingMessage ProfessionalIntoConsumer(string output, string input, string hot) =>
        new(OtherClass, $"{output} gives professional line level, and {input} is made for consumer line level: it arrives {hot} too high");

    internal static FindingMessage OnHouseFader(string mix, string strip, int others, string during) =>
        new(HouseFader, $"{mix} takes {strip}{(others == 0 ? "" : others == 1 ? " and 1 more strip" : $" and {others} more strips")} after the fader, which also feeds the house{during}: whoever rides it changes what the performer hears");

    internal static FindingMessage OutsideRange(string point, double gain, double least, double most) =>
        new(CantBeSet, $"{point} has a gain of {Quantity.Number(least)} to {Quantity.Number(most)} dB; {Quantity.Number(gain)} dB is written");

    internal static FindingMessage NothingHas(string feed, string setting, string wanted) =>
        new(CantBeSet, $"{feed} states `{setting}`, and there is {wanted} on its way");

    internal static FindingMessage LevelOfOther(string feed) =>
        new(Contradiction, $"{feed} states a `level`, and starts where others end: the level of a source belongs in the feed that starts there");

    internal static FindingMessage TwoFigures(string setting, string point, string figure, string feed, string otherFigure, string otherFeed, string during) =>
        new(Contradiction, $"the {setting} of {point} is {figure} in {feed} and {otherFigure} in {otherFeed}{during}");

    internal static FindingMessage NoLoss(string pad) =>
        new(Contradiction, $"a pad of {pad} is none: it is written as what it takes off, such as `pad = 20 dB`");

    internal static FindingMessage NotARange(string setting) =>
        new(Contradiction, $"{setting} is a range here; a feed states what it is set to, as one figure");

    internal static FindingMessage GainUpsideDown(string socket, double least, double most) =>
        new(Contradiction, $"the gain of {socket} goes from {Quantity.Number(least)} dB down to {Quantity.Number(most)} dB; the least stands first");

    internal static FindingMessage FullScaleOfItself(string socket) =>
        new(Contradiction, $"full_scale of {socket} is an analogue level, in dBu or dBV; counted in dBFS, full scale is always 0");
}
