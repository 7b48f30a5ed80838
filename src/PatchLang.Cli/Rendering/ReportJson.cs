using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace PatchLang.Cli.Rendering;

/// <summary>How the JSON outputs are written.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    GenerationMode = JsonSourceGenerationMode.Metadata,
    WriteIndented = true)]
[JsonSerializable(typeof(JsonReport))]
[JsonSerializable(typeof(JsonExpectations))]
[JsonSerializable(typeof(SarifLog))]
[JsonSerializable(typeof(JsonFigures))]
internal sealed partial class ReportJson : JsonSerializerContext
{
    private static ReportJson? plain;

    /// <summary>The types as they are written: the output is a file or a pipe, never part of a page, so quotes and letters of every script stay as they are.</summary>
    public static ReportJson Plain => plain ??= new(new JsonSerializerOptions(Default.Options) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping });
}
