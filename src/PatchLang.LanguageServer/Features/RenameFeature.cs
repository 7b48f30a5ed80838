using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>Renaming, in all files of all plans that the document belongs to.</summary>
internal static class RenameFeature
{
    public static PrepareRenameResult? Prepare(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view || Subject(view, parameters.Position) is not { } at) return null;
        Refuse(view.Plan.Compilation.Queries.RefusalToRename(at.Subject, null));
        return new PrepareRenameResult(view.RangeOf(at.Span), view.Source.Slice(at.Span).ToString());
    }

    public static WorkspaceEdit? Answer(Snapshot snapshot, RenameParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        if (Subject(view, parameters.Position) is not { } at) throw new RefusedException(RefusedException.RequestFailed, "nothing with a name stands here");
        var edits = new EditCollector(snapshot);
        foreach (var other in snapshot.ViewsOf(parameters.TextDocument.Uri))
        {
            // Resolve the name in each plan separately: in a shared file it may refer to different things.
            var queries = other.Plan.Compilation.Queries;
            if (queries.At(other.Tree, at.Span.Start) is not { } there) continue;
            Refuse(queries.RefusalToRename(there.Subject, parameters.NewName));
            foreach (var place in queries.PlacesOf(there.Subject)) edits.Add(other.Plan, place.Source, place.Span, parameters.NewName);
        }
        return edits.Edit;
    }

    private static Occurrence? Subject(DocumentView view, Position position) => view.Plan.Compilation.Queries.At(view.Tree, view.OffsetOf(position));

    private static void Refuse(string? reason)
    {
        if (reason is not null) throw new RefusedException(RefusedException.RequestFailed, reason);
    }
}
