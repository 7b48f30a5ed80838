namespace PatchLang.Scripting.Reports;

/// <summary>A script used a table or its output in an invalid way. The message explains it to the script's author.</summary>
public sealed class ReportException(string message) : Exception(message);
