using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The levels that a socket is made for.</summary>
public enum LevelClass
{
    /// <summary>Nothing says; or whatever comes, as in a panel or a split.</summary>
    Any,

    /// <summary>A microphone's, some thousandths of a volt.</summary>
    Mic,

    /// <summary>The professional line's, about +4 dBu.</summary>
    Line,

    /// <summary>The consumer line's, about -10 dBV.</summary>
    Consumer,

    /// <summary>An instrument's pickup, of high impedance.</summary>
    Instrument,

    /// <summary>What drives a loudspeaker.</summary>
    Speaker,

    /// <summary>What drives a row of loudspeakers by transformers, up to 100 V.</summary>
    Line100V,
}

/// <summary>What gear says of the levels at one of its sockets, strips or buses. What it does not say is null.</summary>
public sealed record SocketLevels
{
    /// <summary>The names of the classes, as a plan writes them.</summary>
    internal const string ClassNames = "mic, line, consumer, instrument, speaker or line_100v";

    /// <summary>Of a socket that says nothing.</summary>
    public static SocketLevels Unsaid { get; } = new();

    /// <summary>The analogue level of digital full scale, in dBu; with gain ahead of a converter, without that gain.</summary>
    public double? FullScale { get; init; }

    /// <summary>The level above which it clips, where that is no converter's full scale.</summary>
    public Level? ClipsAt { get; init; }

    /// <summary>The level that a source gives there.</summary>
    public Level? Source { get; init; }

    /// <summary>The least and the most gain in dB: of an input ahead of what follows, of an output behind what came before, of a bus for each source. Equal where it can't be set.</summary>
    public (double Least, double Most)? Gain { get; init; }

    /// <summary>What it is made for.</summary>
    public LevelClass Class { get; init; }

    /// <summary>The gain that can't be set; null where it can, or where nothing is said.</summary>
    public double? FixedGain => Gain is { } gain && gain.Least == gain.Most ? gain.Least : null;

    /// <summary>Whether there is a gain to be set.</summary>
    public bool HasRange => Gain is { } gain && gain.Least < gain.Most;

    /// <summary>The name of a class as a plan writes it.</summary>
    public static string NameOf(LevelClass levels) => levels switch
    {
        LevelClass.Mic => "mic",
        LevelClass.Line => "line",
        LevelClass.Consumer => "consumer",
        LevelClass.Instrument => "instrument",
        LevelClass.Speaker => "speaker",
        LevelClass.Line100V => "line_100v",
        _ => "any",
    };

    /// <summary>Reads what a socket's braces say.</summary>
    internal static SocketLevels Of(SettingTable settings)
    {
        var gain = settings["gain"];
        var read = new SocketLevels
        {
            FullScale = Level.Of(settings["full_scale"]?.Value) is { Reference: LevelReference.Line } full ? full.Decibels : null,
            ClipsAt = Level.Of(settings["clips_at"]?.Value),
            Source = Level.Of(settings["level"]?.Value),
            Gain = gain is { Value: { Measure: Measure.Gain } least, High: { } most } && least.Value <= most.Value ? (least.Value, most.Value) : null,
            Class = ClassOf(settings["level_class"]?.Text) ?? LevelClass.Any,
        };
        return read == Unsaid ? Unsaid : read;
    }

    /// <summary>The class of a name; null where there is none of that name.</summary>
    internal static LevelClass? ClassOf(string? name) => name switch
    {
        "mic" => LevelClass.Mic,
        "line" => LevelClass.Line,
        "consumer" => LevelClass.Consumer,
        "instrument" => LevelClass.Instrument,
        "speaker" => LevelClass.Speaker,
        "line_100v" => LevelClass.Line100V,
        _ => null,
    };
}
