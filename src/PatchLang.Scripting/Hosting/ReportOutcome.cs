using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Outputs.Formats;

namespace PatchLang.Scripting.Hosting;

/// <summary>The result of running a script that writes files.</summary>
/// <param name="Files">The files it wants to write, with relative names inside the output folder; none if it failed.</param>
/// <param name="Faults">Errors in the script.</param>
/// <param name="Printed">The beginning of what it printed; empty for nothing.</param>
/// <param name="IsShutIn">Whether it was sandboxed: without network, and unable to write by itself.</param>
/// <param name="Problem">Why it could not run to its end, or its files can't be accepted; null if all went well.</param>
public sealed record ReportOutcome(ImmutableArray<OutputFile> Files, ImmutableArray<ScriptFault> Faults, string Printed, bool IsShutIn, string? Problem);

/// <summary>An error in a script.</summary>
/// <param name="Message">The error message.</param>
/// <param name="Place">The place in the script.</param>
public sealed record ScriptFault(string Message, Place Place);
