using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// <c>workspace/textDocumentContent</c>: documents that the compiler provides,
/// which are the shipped library and the pages that explain findings.
/// </summary>
internal static class ContentFeature
{
    public static TextDocumentContentResult Answer(Snapshot snapshot, TextDocumentContentParams parameters)
    {
        if (DocumentUri.LibraryPathOf(parameters.Uri) is { } path && ShippedLibrary.Find(path) is { } tree) return new TextDocumentContentResult(tree.Source.Content);
        if (DocumentUri.CodeOf(parameters.Uri) is { } code && FindingCatalogue.Find(code) is { } kind) return new TextDocumentContentResult(FindingPages.Of(kind));
        throw new RefusedException(RefusedException.InvalidParams, $"there is no document {parameters.Uri}");
    }
}
