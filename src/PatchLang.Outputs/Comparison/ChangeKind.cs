namespace PatchLang.Outputs.Comparison;

/// <summary>What sort of thing is another in the new plan. That it came, went or differs is said by <see cref="PlanChange.Was"/> and <see cref="PlanChange.Now"/>.</summary>
public enum ChangeKind
{
    /// <summary>An act of the day: that there is one, its label, or the act it comes after.</summary>
    Act,

    /// <summary>Something that is called otherwise and is the same thing; the aspect says what sort of thing.</summary>
    Name,

    /// <summary>A piece of equipment, and what gear it is.</summary>
    Unit,

    /// <summary>A card in a slot.</summary>
    Card,

    /// <summary>What is set for a unit: its place, a note, its figures; the aspect is the setting.</summary>
    UnitSetting,

    /// <summary>The socket that a source is plugged into, or that it is played from; the aspect says which.</summary>
    Source,

    /// <summary>A cable between two sockets: what it is made of, its length, its way in a loom.</summary>
    Cable,

    /// <summary>A cable that goes from two sockets to two others.</summary>
    CableMove,

    /// <summary>A port that is joined to a network; the aspect is the network.</summary>
    Join,

    /// <summary>What is set for a network; the aspect is the setting.</summary>
    NetworkSetting,

    /// <summary>The rate that a unit runs at.</summary>
    Rate,

    /// <summary>What a clock follows.</summary>
    Clock,

    /// <summary>Whether a clock is the timekeeper, or stands by.</summary>
    ClockRole,

    /// <summary>Which clock leads a network: what must show, not what is set.</summary>
    Leader,

    /// <summary>What feeds an output, a strip or a receiving channel.</summary>
    Route,

    /// <summary>One member of a mix; the aspect is where it comes from, the values are its tap and gain.</summary>
    MixMember,

    /// <summary>What is set for a feed: its microphone, stand, level, delay; the aspect is the setting.</summary>
    FeedSetting,

    /// <summary>What something is called on labels; the aspect says what sort of thing.</summary>
    Label,

    /// <summary>Phantom power at an input.</summary>
    Phantom,

    /// <summary>A socket that is kept free.</summary>
    Reserve,

    /// <summary>A signal of the plan.</summary>
    Signal,

    /// <summary>A source that a listener or a recorder gets.</summary>
    Heard,

    /// <summary>When sound arrives at a listener.</summary>
    Latency,

    /// <summary>How loud sound is at a listener.</summary>
    Level,

    /// <summary>Points on the way to a listener at which gains or taps differ.</summary>
    Balance,

    /// <summary>Gear, a card or a format that the plan itself declares.</summary>
    Declaration,

    /// <summary>A promise of the plan: an <c>expect</c> or an <c>allow</c>.</summary>
    Promise,

    /// <summary>A finding.</summary>
    Finding,
}
