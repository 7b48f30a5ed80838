namespace PatchLang.Findings;

/// <summary>
/// What has to be known of the things that a finding speaks of, for it to be told: where a statement can't be read, or was not
/// understood, what it would say of them is not.
/// </summary>
[Flags]
internal enum Grounds
{
    None = 0,

    /// <summary>Which ways signals take.</summary>
    Ways = 1,

    /// <summary>What signals are: how many, and what they start from.</summary>
    Signals = 2,

    /// <summary>What cables, looms and networks join.</summary>
    Joins = 4,

    /// <summary>Whose time clocks run on.</summary>
    Time = 8,

    /// <summary>Levels, delays and the like: something that adds to them may be anywhere, so these are unknown of all things at once.</summary>
    Figures = 16,

    /// <summary>In which acts things are there.</summary>
    Acts = 32,

    /// <summary>What follows from how things are joined, and not from what goes that way.</summary>
    AllButSignals = Ways | Joins | Time | Figures,

    All = AllButSignals | Signals | Acts,
}
