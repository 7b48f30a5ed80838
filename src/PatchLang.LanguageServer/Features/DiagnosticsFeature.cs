using System.Globalization;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Features;

/// <summary><c>textDocument/diagnostic</c>: the diagnostics of a document, for clients that request them.</summary>
internal static class DiagnosticsFeature
{
    public static DocumentDiagnosticReport Answer(Snapshot snapshot, DocumentDiagnosticParams parameters)
    {
        var uri = snapshot.ViewOf(parameters.TextDocument.Uri)?.Uri ?? parameters.TextDocument.Uri;
        var found = snapshot.Found.GetValueOrDefault(uri) ?? [];
        var id = IdOf(found);
        return id == parameters.PreviousResultId
            ? new DocumentDiagnosticReport(DocumentDiagnosticReport.Unchanged, id)
            : new DocumentDiagnosticReport(DocumentDiagnosticReport.Full, id) { Items = [.. found] };
    }

    /// <summary>An id of the result: equal diagnostics have equal ids within this process.</summary>
    private static string IdOf(List<Diagnostic> found)
    {
        var hash = new HashCode();
        foreach (var diagnostic in found)
        {
            hash.Add(diagnostic.Range);
            hash.Add(diagnostic.Code, StringComparer.Ordinal);
            hash.Add(diagnostic.Message, StringComparer.Ordinal);
            hash.Add(diagnostic.Severity);
            foreach (var related in diagnostic.RelatedInformation ?? []) hash.Add(related);
        }
        return string.Create(CultureInfo.InvariantCulture, $"{found.Count}-{hash.ToHashCode():x8}");
    }
}
