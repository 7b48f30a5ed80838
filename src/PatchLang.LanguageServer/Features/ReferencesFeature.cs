using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Features;

/// <summary>References and highlights: all occurrences of what is under the cursor.</summary>
internal static class ReferencesFeature
{
    public static Location[]? Answer(Snapshot snapshot, ReferenceParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var queries = view.Plan.Compilation.Queries;
        if (queries.At(view.Tree, view.OffsetOf(parameters.Position)) is not { } at) return null;
        return [.. queries.PlacesOf(at.Subject).Where(p => parameters.Context.IncludeDeclaration || p.Remark is null).Select(p => view.LocationOf(p.Source, p.Span))];
    }

    public static DocumentHighlight[]? Highlight(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var queries = view.Plan.Compilation.Queries;
        if (queries.At(view.Tree, view.OffsetOf(parameters.Position)) is not { } at) return null;
        return [.. queries.PlacesOf(at.Subject, view.Tree).Select(p => new DocumentHighlight(view.RangeOf(p.Span), p.Remark is null ? DocumentHighlightKind.Read : DocumentHighlightKind.Write))];
    }
}
