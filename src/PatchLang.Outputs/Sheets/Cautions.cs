namespace PatchLang.Outputs.Sheets;

/// <summary>The usual cautions, worded in one place. They are common practice; local codes and licensed practice take precedence.</summary>
internal static class Cautions
{
    public const string Phantom =
        "Phantom power off, and half a minute to drain, before a line is plugged or unplugged. It can harm outputs, ribbons and adapters.";

    public const string Ears =
        "Earphones out or muted, and wedges muted, while anything is plugged, routed, clocked or switched. Bring every level up from the bottom.";

    public const string Mains =
        "Mains, rigging and loudspeaker lines are outside of what these sheets say: local codes and licensed practice decide.";

    public const string Amplifiers =
        "Amplifiers and powered loudspeakers last on, first off.";
}
