namespace PatchLang.Scripting.Hosting;

/// <summary>The limits of a script.</summary>
/// <param name="Time">The longest time that one script may run.</param>
/// <param name="HeapBytes">The size limit of the runtime's heap in bytes, for the plan, the script and C#'s compiler together.</param>
public sealed record ScriptLimits(TimeSpan Time, long HeapBytes)
{
    /// <summary>The defaults: 10 seconds and 768 MB.</summary>
    public static ScriptLimits Usual { get; } = new(TimeSpan.FromSeconds(10), 768L << 20);

    /// <summary>The time limit until the first script starts, which includes compiling the plan and the scripts.</summary>
    internal TimeSpan Start => Time + TimeSpan.FromMinutes(1);
}
