using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>Linked editing of a gear's parameter: it is only visible inside that gear, so all occurrences can change together while typing.</summary>
internal static class LinkedEditingFeature
{
    public static LinkedEditingRanges? Answer(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { Source.IsLibrary: false } view) return null;
        var queries = view.Plan.Compilation.Queries;
        return queries.At(view.Tree, view.OffsetOf(parameters.Position)) is { Subject: PartSubject { IsCount: true } count }
            ? new LinkedEditingRanges([.. queries.PlacesOf(count, view.Tree).Select(p => view.RangeOf(p.Span))])
            : null;
    }
}
