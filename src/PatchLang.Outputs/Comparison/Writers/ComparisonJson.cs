using System.Collections.Immutable;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison.Writers;

/// <summary>
/// A comparison as JSON for scripts: every change, and the report as people read it. The schema is <c>comparison.schema.json</c> beside this file.
/// </summary>
public static class ComparisonJson
{
    /// <summary>The version of this layout: while it stays the same, readers may rely on every property.</summary>
    private const int Layout = 1;

    /// <summary>Writes the comparison.</summary>
    public static string Write(PlanChanges changes, ComparedPlans plans)
    {
        var report = ChangeReport.Of(changes);
        return JsonSerializer.Serialize(
            new ComparisonDocument(
                Layout, plans.Old.Name, plans.New.Name, changes.New.Title, changes.AreNone, report.Summary, report.Remarks,
                [.. report.Sections.Select(s => new SectionDocument(s.Key, s.Title, s.IsWork, s.Caution, [.. s.Lines.Select(l => new LineDocument(l.Text, l.Acts, Of(plans.Old, l.OldPlace), Of(plans.New, l.NewPlace)))]))],
                [
                    .. changes.Changes.Select(c => new ChangeDocument(
                        JsonNamingPolicy.CamelCase.ConvertName(c.Kind.ToString()), c.Subject, Some(c.Aspect), c.Was, c.Now, Some(c.Signal), Some(c.Unit), c.Acts, c.PhantomBefore, c.PhantomAfter,
                        Of(plans.Old, c.OldPlace), Of(plans.New, c.NewPlace))),
                ]),
            ComparisonJsonContext.Plain.ComparisonDocument) + "\n";
    }

    private static string? Some(string text) => text.Length == 0 ? null : text;

    private static PlaceDocument? Of(ComparedPlan plan, Place? place)
    {
        if (place is null) return null;
        var (line, column) = place.Source.PositionOf(place.Span.Start);
        return new PlaceDocument(plan.PathOf(place.Source), line + 1, column + 1);
    }
}

internal sealed record ComparisonDocument(
    int Version, string Old, string New, string? Title, bool Same, string Summary, ImmutableArray<string> Remarks,
    ImmutableArray<SectionDocument> Sections, ImmutableArray<ChangeDocument> Changes);

internal sealed record SectionDocument(string Key, string Title, bool Work, string? Caution, ImmutableArray<LineDocument> Lines);

internal sealed record LineDocument(string Text, ImmutableArray<string> Acts, PlaceDocument? Old, PlaceDocument? New);

internal sealed record ChangeDocument(
    string Kind, string Subject, string? Aspect, string? Was, string? Now, string? Signal, string? Unit, ImmutableArray<string> Acts,
    ImmutableArray<string> PhantomOff, ImmutableArray<string> PhantomOn, PlaceDocument? Old, PlaceDocument? New);

internal sealed record PlaceDocument(string File, int Line, int Column);

/// <summary>Serialization of the JSON output.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    GenerationMode = JsonSourceGenerationMode.Metadata,
    WriteIndented = true)]
[JsonSerializable(typeof(ComparisonDocument))]
internal sealed partial class ComparisonJsonContext : JsonSerializerContext
{
    private static ComparisonJsonContext? plain;

    /// <summary>
    /// A context that escapes no more than JSON requires: the output goes to a file or a pipe, never into a web page, so non-ASCII
    /// letters stay readable.
    /// </summary>
    public static ComparisonJsonContext Plain => plain ??= new(new JsonSerializerOptions(Default.Options) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping });
}
