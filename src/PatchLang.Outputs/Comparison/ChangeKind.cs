namespace PatchLang.Outputs.Comparison;

/// <summary>
/// What kind of thing a change is about. Whether it is new, gone or different
/// follows from <see cref="PlanChange.Was"/> and <see cref="PlanChange.Now"/>.
/// </summary>
public enum ChangeKind
{
    /// <summary>An act of the day: its existence, its label, or the act it follows.</summary>
    Act,

    /// <summary>The same thing under another name; the aspect is what sort of thing it is.</summary>
    Name,

    /// <summary>A piece of equipment, and the gear it is.</summary>
    Unit,

    /// <summary>A card in a slot.</summary>
    Card,

    /// <summary>A setting of a unit, such as its place, a note or a figure; the aspect is the setting's name.</summary>
    UnitSetting,

    /// <summary>The socket that a source is plugged into or played from; the aspect tells which.</summary>
    Source,

    /// <summary>A cable between two sockets: its medium, its length, its way in a loom.</summary>
    Cable,

    /// <summary>A cable that moves from two sockets to two others.</summary>
    CableMove,

    /// <summary>A port that is joined to a network; the aspect is the network.</summary>
    Join,

    /// <summary>A setting of a network; the aspect is its name.</summary>
    NetworkSetting,

    /// <summary>The sampling rate of a unit.</summary>
    Rate,

    /// <summary>What a clock follows.</summary>
    Clock,

    /// <summary>Whether a clock is the timekeeper, or stands by.</summary>
    ClockRole,

    /// <summary>Which clock leads a network: a result to verify, not a setting.</summary>
    Leader,

    /// <summary>What feeds an output, a strip or a receiving channel.</summary>
    Route,

    /// <summary>A member of a mix; the aspect is where it comes from, the values are its tap and gain.</summary>
    MixMember,

    /// <summary>A setting of a feed, such as its microphone, stand, level or delay; the aspect is its name.</summary>
    FeedSetting,

    /// <summary>The text on a label; the aspect is what sort of thing it labels.</summary>
    Label,

    /// <summary>Phantom power at an input.</summary>
    Phantom,

    /// <summary>A reserved socket.</summary>
    Reserve,

    /// <summary>A signal of the plan.</summary>
    Signal,

    /// <summary>A source that reaches a listener or a recorder.</summary>
    Heard,

    /// <summary>When sound arrives at a listener.</summary>
    Latency,

    /// <summary>The level at a listener.</summary>
    Level,

    /// <summary>Points on the way to a listener where gains or taps differ.</summary>
    Balance,

    /// <summary>Gear, a card or a format that the plan itself declares.</summary>
    Declaration,

    /// <summary>A promise of the plan: an <c>expect</c> or an <c>allow</c>.</summary>
    Promise,

    /// <summary>A finding.</summary>
    Finding,
}
