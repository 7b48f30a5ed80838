using System.Diagnostics;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Reports;
using PatchLang.Writing;

namespace PatchLang.Scripts;

/// <summary>What is wrong with a rule, at the line of its script that caused it.</summary>
internal static class Faults
{
    /// <summary>The fault for an exception that a rule threw.</summary>
    public static FaultText OfThrown(Exception thrown, RuleText rule)
    {
        while (thrown is AggregateException or System.Reflection.TargetInvocationException && thrown.InnerException is { } inner) thrown = inner;
        if (thrown is OutOfMemoryException) return At(rule, LineIn(thrown, rule), "it took more memory than a rule may");
        // The messages of these are written for the script's author, so they need no type name.
        if (thrown is ReportException or PlanWritingException) return At(rule, LineIn(thrown, rule), thrown.Message.ReplaceLineEndings(" "));
        return At(rule, LineIn(thrown, rule), $"{thrown.GetType().Name}: {thrown.Message.ReplaceLineEndings(" ")}");
    }

    /// <summary>A fault at a line, counted from 1.</summary>
    public static FaultText At(RuleText rule, int line, string message)
    {
        var lines = rule.Content.Split('\n');
        var index = Math.Clamp(line - 1, 0, lines.Length - 1);
        var text = lines[index].TrimEnd('\r');
        var start = text.Length - text.TrimStart().Length;
        return new FaultText(false, message, rule.FullPath, index, start, index, text.Length);
    }

    private static int LineIn(Exception thrown, RuleText rule)
    {
        try
        {
            foreach (var frame in new StackTrace(thrown, fNeedFileInfo: true).GetFrames())
                if (frame.GetFileName() == rule.FullPath && frame.GetFileLineNumber() > 0) return frame.GetFileLineNumber();
        }
        catch (OutOfMemoryException)
        {
            // Out of memory again: report the first line.
        }
        return 1;
    }
}
