using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.Cli.Files;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>A report in SARIF 2.1.0, the OASIS standard for the results of static analysis.</summary>
internal static class SarifReport
{
    private const string Schema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

    /// <summary>Writes the report.</summary>
    public static void Write(Report report, Terminal terminal) =>
        terminal.Output.WriteLine(JsonSerializer.Serialize(new SarifLog(Schema, "2.1.0", [Run(report)]), ReportJson.Plain.SarifLog));

    private static SarifRun Run(Report report)
    {
        ImmutableArray<FindingKind> kinds = [.. report.Findings.Select(f => f.Finding.Kind).Distinct().OrderBy(k => k.Code, StringComparer.Ordinal)];
        var driver = new SarifDriver("patchlang", CommandLine.Version, [.. kinds.Select(Rule)]);
        return new SarifRun(
            new SarifTool(driver),
            [new SarifInvocation(report.Failures.Count == 0, [.. report.Failures.Select(f => new SarifNotification("error", new SarifMessage(f)))])],
            "utf16CodeUnits",
            [.. report.Findings.Select(f => Result(f, kinds.IndexOf(f.Finding.Kind)))]);
    }

    private static SarifRule Rule(FindingKind kind)
    {
        var page = FindingPages.Of(kind);
        return new SarifRule(
            kind.Code, new SarifMessage(kind.Title), new SarifConfiguration(Level(kind.Severity)), new SarifHelp(page, page));
    }

    private static SarifResult Result(Reported reported, int rule)
    {
        var (plan, finding) = reported;
        return new SarifResult(
            finding.Code,
            rule,
            Level(finding.Severity),
            new SarifMessage(finding.Message),
            [new SarifLocation(null, Physical(plan, finding.Place), null)],
            [.. finding.Related.Select((r, i) => new SarifLocation(i + 1, Physical(plan, r), r.Remark is null ? null : new SarifMessage(r.Remark)))],
            [.. finding.Fixes.Where(f => !f.Edits.IsEmpty).Select(f => Fix(plan, f))]);
    }

    private static SarifFix Fix(PlanFile plan, Fix fix) =>
        new(new SarifMessage(fix.Title),
            [
                .. fix.Edits.GroupBy(e => e.Source).Select(file => new SarifArtifactChange(
                    Artifact(plan, file.Key),
                    [.. file.Select(e => new SarifReplacement(Of(e.Source, e.Span), new SarifContent(e.NewText)))])),
            ]);

    private static SarifPhysicalLocation Physical(PlanFile plan, Place place) => new(Artifact(plan, place.Source), Of(place.Source, place.Span));

    private static SarifRegion Of(SourceText source, TextSpan span)
    {
        var region = Region.Of(source, span);
        return new SarifRegion(region.Line, region.Column, region.EndLine, region.EndColumn);
    }

    private static SarifArtifactLocation Artifact(PlanFile plan, SourceText source)
    {
        var path = plan.PathOf(source);
        return new SarifArtifactLocation(
            Path.IsPathFullyQualified(path) ? new Uri(path).AbsoluteUri : string.Join('/', path.Split('/').Select(Uri.EscapeDataString)));
    }

    private static string Level(Severity severity) => severity switch
    {
        Severity.Error => "error",
        Severity.Warning => "warning",
        _ => "note",
    };
}

// The objects of the standard that we use, under its names (SARIF 2.1.0, section 3).
internal sealed record SarifLog([property: JsonPropertyName("$schema")] string Schema, string Version, ImmutableArray<SarifRun> Runs);

internal sealed record SarifRun(SarifTool Tool, ImmutableArray<SarifInvocation> Invocations, string ColumnKind, ImmutableArray<SarifResult> Results);

internal sealed record SarifTool(SarifDriver Driver);

internal sealed record SarifDriver(string Name, string SemanticVersion, ImmutableArray<SarifRule> Rules);

internal sealed record SarifRule(string Id, SarifMessage ShortDescription, SarifConfiguration DefaultConfiguration, SarifHelp Help);

internal sealed record SarifConfiguration(string Level);

internal sealed record SarifHelp(string Text, string Markdown);

internal sealed record SarifInvocation(bool ExecutionSuccessful, ImmutableArray<SarifNotification> ToolExecutionNotifications);

internal sealed record SarifNotification(string Level, SarifMessage Message);

internal sealed record SarifResult(
    string RuleId,
    int RuleIndex,
    string Level,
    SarifMessage Message,
    ImmutableArray<SarifLocation> Locations,
    ImmutableArray<SarifLocation> RelatedLocations,
    ImmutableArray<SarifFix> Fixes);

internal sealed record SarifMessage(string Text);

internal sealed record SarifLocation(int? Id, SarifPhysicalLocation PhysicalLocation, SarifMessage? Message);

internal sealed record SarifPhysicalLocation(SarifArtifactLocation ArtifactLocation, SarifRegion Region);

internal sealed record SarifArtifactLocation(string Uri);

internal sealed record SarifRegion(int StartLine, int StartColumn, int EndLine, int EndColumn);

internal sealed record SarifFix(SarifMessage Description, ImmutableArray<SarifArtifactChange> ArtifactChanges);

internal sealed record SarifArtifactChange(SarifArtifactLocation ArtifactLocation, ImmutableArray<SarifReplacement> Replacements);

internal sealed record SarifReplacement(SarifRegion DeletedRegion, SarifContent InsertedContent);

internal sealed record SarifContent(string Text);
