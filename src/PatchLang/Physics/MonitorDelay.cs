namespace PatchLang.Physics;

/// <summary>
/// Limits of monitoring delay for singers and wind players. They hear themselves through the skull without delay, so a delayed copy
/// colours or disturbs what they hear.
/// </summary>
/// <remarks>
/// M. Lester and J. Boley, "The effects of latency on live sound monitoring", AES 123rd convention, 2007, paper 7198: through
/// earphones voices are good below 1 ms and fair below 6.5 ms, saxophones fair below 3 ms; through wedges voices are good below
/// 10 ms and fair below 15 ms (from memory; the range from below 1.4 to 42 ms over all instruments was read). The trade's
/// rule for voices through earphones is 5 ms (secondary). The limits here are those figures, rounded to what the trade uses.
/// </remarks>
public static class MonitorDelay
{
    /// <summary>Through earphones, the delay in seconds from which a note is given.</summary>
    public const double InEarNote = 5e-3;

    /// <summary>Through earphones, the delay in seconds from which a warning is given.</summary>
    public const double InEarWarning = 10e-3;

    /// <summary>Through a wedge, the delay in seconds from which a note is given.</summary>
    public const double WedgeNote = 10e-3;

    /// <summary>Through a wedge, the delay in seconds from which a warning is given.</summary>
    public const double WedgeWarning = 15e-3;
}
