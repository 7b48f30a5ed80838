using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The level that a socket is made for.</summary>
public enum LevelClass
{
    /// <summary>Not stated, or any level, as in a patch panel or a splitter.</summary>
    Any,

    /// <summary>Microphone level, some millivolts.</summary>
    Mic,

    /// <summary>Professional line level, about +4 dBu.</summary>
    Line,

    /// <summary>Consumer line level, about -10 dBV.</summary>
    Consumer,

    /// <summary>The level of an instrument's pickup, at high impedance.</summary>
    Instrument,

    /// <summary>Loudspeaker level.</summary>
    Speaker,

    /// <summary>Constant-voltage loudspeaker lines with transformers, up to 100 V.</summary>
    Line100V,
}

/// <summary>What gear states about levels at one of its sockets, strips or buses. Null for what is not stated.</summary>
public sealed record SocketLevels
{
    /// <summary>The names of the classes, as messages list them.</summary>
    internal const string ClassNames = "mic, line, consumer, instrument, speaker or line_100v";

    /// <summary>The levels of a socket that states nothing.</summary>
    public static SocketLevels Unsaid { get; } = new();

    /// <summary>The analogue level that corresponds to digital full scale, in dBu; for an input with a preamplifier, at a gain of 0 dB.</summary>
    public double? FullScale { get; init; }

    /// <summary>The level above which it clips, if that is not set by a converter's full scale.</summary>
    public Level? ClipsAt { get; init; }

    /// <summary>The level that a source delivers there.</summary>
    public Level? Source { get; init; }

    /// <summary>
    /// The lowest and highest gain in dB; equal if fixed. An input's gain comes before what follows it, an output's after what precedes it, a
    /// bus's applies to each source.
    /// </summary>
    public (double Least, double Most)? Gain { get; init; }

    /// <summary>The class of level it is made for.</summary>
    public LevelClass Class { get; init; }

    /// <summary>The gain in dB, if it is fixed; null if it is adjustable or not stated.</summary>
    public double? FixedGain => Gain is { } gain && gain.Least == gain.Most ? gain.Least : null;

    /// <summary>Whether its gain is adjustable.</summary>
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

    /// <summary>Reads the levels from a socket's settings.</summary>
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

    /// <summary>The class with a name; null if there is none.</summary>
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
