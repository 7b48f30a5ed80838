namespace PatchLang.Findings;

/// <summary>
/// The kinds of knowledge that a finding depends on. If a statement can't be read, or was not understood, its knowledge of the things it
/// names is missing, and findings that depend on it are left out.
/// </summary>
[Flags]
internal enum Grounds
{
    None = 0,

    /// <summary>Which ways signals take.</summary>
    Ways = 1,

    /// <summary>What signals are: how many, and what they start from.</summary>
    Signals = 2,

    /// <summary>What is joined by cables, looms and networks.</summary>
    Joins = 4,

    /// <summary>Which time clocks run on.</summary>
    Time = 8,

    /// <summary>Levels, delays and other sums: a missing part may be anywhere, so these become unknown for all things at once.</summary>
    Figures = 16,

    /// <summary>In which acts things exist.</summary>
    Acts = 32,

    /// <summary>Everything that follows from how things are joined, rather than from the signals themselves.</summary>
    AllButSignals = Ways | Joins | Time | Figures,

    All = AllButSignals | Signals | Acts,
}
