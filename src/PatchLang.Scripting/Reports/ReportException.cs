namespace PatchLang.Scripting.Reports;

/// <summary>What a script asked of a table or of its output can't be done. The message says why, in words for the script's author.</summary>
public sealed class ReportException(string message) : Exception(message);
