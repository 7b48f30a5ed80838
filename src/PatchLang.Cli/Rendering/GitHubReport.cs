using System.Text;
using PatchLang.Cli.Files;
using PatchLang.Findings;

namespace PatchLang.Cli.Rendering;

/// <summary>A report as workflow commands, which GitHub shows as annotations beside the changed lines.</summary>
internal static class GitHubReport
{
    /// <summary>Writes the report.</summary>
    public static void Write(Report report, Terminal terminal)
    {
        foreach (var failure in report.Failures) terminal.Output.WriteLine($"::error::{Data(failure)}");
        foreach (var (plan, finding) in report.Findings) Write(plan, finding, terminal);
        if (report.PlanCount > 0) terminal.Output.WriteLine(report.Summary());
    }

    private static void Write(PlanFile plan, Finding finding, Terminal terminal)
    {
        var level = finding.Severity switch { Severity.Error => "error", Severity.Warning => "warning", _ => "notice" };
        var region = Region.Of(finding.Place);
        // Annotations that span lines can't have columns.
        var place = region.Line == region.EndLine
            ? $"line={region.Line},col={region.Column},endColumn={region.EndColumn}"
            : $"line={region.Line},endLine={region.EndLine}";
        var message = new StringBuilder(finding.Message);
        foreach (var related in finding.Related.Take(TextReport.MostRelated))
            message.Append($"\n{plan.PathOf(related.Source)}:{Region.Of(related).Line}: {related.Remark ?? "see here"}");
        foreach (var fix in finding.Fixes) message.Append($"\nTo mend it: {fix.Title}");
        terminal.Output.WriteLine(
            $"::{level} file={Property(plan.PathOf(finding.Place.Source))},{place},title={Property($"{finding.Code} {finding.Kind.Title}")}::{Data(message.ToString())}");
    }

    private static string Data(string text) => text.Replace("%", "%25").Replace("\r", "%0D").Replace("\n", "%0A");

    private static string Property(string text) => Data(text).Replace(":", "%3A").Replace(",", "%2C");
}
