using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace PatchLang.Cli.Rendering;

/// <summary>Serialization of the JSON outputs.</summary>
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

    /// <summary>
    /// A context that escapes no more than JSON requires: the output goes to a file or a pipe, never into a web page, so quotes and
    /// non-ASCII letters stay readable.
    /// </summary>
    public static ReportJson Plain => plain ??= new(new JsonSerializerOptions(Default.Options) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping });
}
