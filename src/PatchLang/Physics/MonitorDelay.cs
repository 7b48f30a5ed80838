namespace PatchLang.Physics;

/// <summary>
/// How late a singer or wind player may hear themselves. They hear themselves in the skull at once, so that a delayed copy
/// colours or disturbs what they hear.
/// </summary>
/// <remarks>
/// M. Lester and J. Boley, "The effects of latency on live sound monitoring", AES 123rd convention, 2007, paper 7198: by
/// earphones voices are good below 1 ms and fair below 6.5 ms, saxophones fair below 3 ms; by wedges voices are good below
/// 10 ms and fair below 15 ms (from memory; the range from below 1.4 to 42 ms over all instruments was read). The trade's
/// rule for voices by earphones is 5 ms (secondary). The limits here are those figures, rounded to what the trade goes by.
/// </remarks>
public static class MonitorDelay
{
    /// <summary>By earphones: worth a note, in seconds.</summary>
    public const double InEarNote = 5e-3;

    /// <summary>By earphones: worth a warning, in seconds.</summary>
    public const double InEarWarning = 10e-3;

    /// <summary>By a wedge: worth a note, in seconds.</summary>
    public const double WedgeNote = 10e-3;

    /// <summary>By a wedge: worth a warning, in seconds.</summary>
    public const double WedgeWarning = 15e-3;
}
