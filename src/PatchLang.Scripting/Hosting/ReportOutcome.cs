using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Outputs.Formats;

namespace PatchLang.Scripting.Hosting;

/// <summary>What came of running a script that writes files.</summary>
/// <param name="Files">What it wants written, by names that don't lead out of the folder they are written to; none where it failed.</param>
/// <param name="Faults">What is wrong with it.</param>
/// <param name="Printed">What it printed, its beginning; empty for nothing.</param>
/// <param name="IsShutIn">Whether the system kept it from the network and from writing by itself.</param>
/// <param name="Problem">Why it could not be run to its end, or its files not be taken; null where that went well.</param>
public sealed record ReportOutcome(ImmutableArray<OutputFile> Files, ImmutableArray<ScriptFault> Faults, string Printed, bool IsShutIn, string? Problem);

/// <summary>What is wrong with a script.</summary>
/// <param name="Message">A sentence.</param>
/// <param name="Place">Where in the script.</param>
public sealed record ScriptFault(string Message, Place Place);
