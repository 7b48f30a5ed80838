using System.Collections.Immutable;
using System.Text.Json;
using PatchLang.Cli.Files;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>
/// A report as JSON in a format of our own, for scripts. Lines and columns count from 1, columns in UTF-16 code units; ends are exclusive.
/// </summary>
internal sealed record JsonReport(
    int Version, int Plans, int Errors, int Warnings, int Notes, int Hints, int Changes, List<string> Failures, ImmutableArray<JsonFinding> Findings)
{
    /// <summary>The version of this layout: while it stays the same, readers may rely on every property.</summary>
    private const int Layout = 1;

    /// <summary>Writes the report.</summary>
    public static void Write(Report report, Terminal terminal) =>
        terminal.Output.WriteLine(JsonSerializer.Serialize(
            new JsonReport(
                Layout,
                report.PlanCount,
                report.Count(Severity.Error),
                report.Count(Severity.Warning),
                report.Count(Severity.Note),
                report.Count(Severity.Hint),
                report.FixCount,
                report.Failures,
                [.. report.Findings.Select(JsonFinding.Of)]),
            ReportJson.Plain.JsonReport));
}

/// <summary>A finding.</summary>
internal sealed record JsonFinding(
    string Code, string Severity, string Title, string Message, JsonPlace Place, ImmutableArray<JsonPlace> Related, ImmutableArray<JsonFix> Fixes)
{
    public static JsonFinding Of(Reported reported)
    {
        var (plan, finding) = reported;
        return new JsonFinding(
            finding.Code,
            finding.Severity.ToString().ToLowerInvariant(),
            finding.Kind.Title,
            finding.Message,
            JsonPlace.Of(plan, finding.Place),
            [.. finding.Related.Select(r => JsonPlace.Of(plan, r))],
            [.. finding.Fixes.Select(f => JsonFix.Of(plan, f))]);
    }
}

/// <summary>A place in a file.</summary>
internal sealed record JsonPlace(string File, int Line, int Column, int EndLine, int EndColumn, string? Remark)
{
    public static JsonPlace Of(PlanFile plan, Place place) => Of(plan, place.Source, place.Span, place.Remark);

    public static JsonPlace Of(PlanFile plan, SourceText source, TextSpan span, string? remark)
    {
        var region = Region.Of(source, span);
        return new JsonPlace(plan.PathOf(source), region.Line, region.Column, region.EndLine, region.EndColumn, remark);
    }
}

/// <summary>A fix: its edits are applied together.</summary>
internal sealed record JsonFix(string Title, bool Safe, ImmutableArray<JsonEdit> Edits)
{
    public static JsonFix Of(PlanFile plan, Fix fix) =>
        new(fix.Title, fix.IsSafe, [.. fix.Edits.Select(e => new JsonEdit(JsonPlace.Of(plan, e.Source, e.Span, null), e.NewText))]);
}

/// <summary>A text edit.</summary>
internal sealed record JsonEdit(JsonPlace Place, string Text);
