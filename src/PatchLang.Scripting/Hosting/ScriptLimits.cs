namespace PatchLang.Scripting.Hosting;

/// <summary>How much a script may take.</summary>
/// <param name="Time">How long one script may run.</param>
/// <param name="HeapBytes">How many bytes the runtime's heap may have, for the plan, the script and C#'s compiler together.</param>
public sealed record ScriptLimits(TimeSpan Time, long HeapBytes)
{
    /// <summary>Ten seconds, and 768 MB.</summary>
    public static ScriptLimits Usual { get; } = new(TimeSpan.FromSeconds(10), 768L << 20);

    /// <summary>How long the process may take until the first script runs: the plan and the scripts are compiled before.</summary>
    internal TimeSpan Start => Time + TimeSpan.FromMinutes(1);
}
