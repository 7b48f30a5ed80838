using PatchLang.Declarations;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>The paths in <c>use</c> statements as links, and their update when a file is about to be renamed.</summary>
internal static class LinksFeature
{
    public static DocumentLink[]? Answer(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var links = new List<DocumentLink>();
        foreach (var used in UsedFiles.Of(view.Tree, view.Source.Path))
        {
            if (used.Path is not { } path) continue;
            if (used.IsLibrary && ShippedLibrary.Find(path) is { } shipped) links.Add(new DocumentLink(view.RangeOf(used.Span), DocumentUri.OfLibrary(shipped.Source, view.Client)));
            else if (view.Plan.TreeNamed(path) is { } tree) links.Add(new DocumentLink(view.RangeOf(used.Span), snapshot.UriOf(view.Plan, tree.Source)));
        }
        return [.. links];
    }

    public static WorkspaceEdit? Mend(Snapshot snapshot, RenameFilesParams parameters)
    {
        var edits = new EditCollector(snapshot);
        var renamed = parameters.Files
            .Select(f => (Old: DocumentUri.PathOf(f.OldUri), New: DocumentUri.PathOf(f.NewUri)))
            .Where(f => f is { Old: not null, New: not null })
            .DistinctBy(f => f.Old)
            .ToDictionary(f => f.Old!, f => f.New!, StringComparer.Ordinal);
        foreach (var plan in snapshot.Plans)
        {
            if (plan.Folder is not { } folder) continue;
            foreach (var tree in plan.Compilation.Trees)
            {
                if (tree.Source.IsLibrary) continue;
                var from = plan.FullPathOf(tree.Source);
                var fromAfter = renamed.GetValueOrDefault(from, from);
                foreach (var used in UsedFiles.Of(tree, tree.Source.Path))
                {
                    if (used.IsLibrary || used.Path is null) continue;
                    var to = Path.GetFullPath(used.Path, folder);
                    var toAfter = renamed.GetValueOrDefault(to, to);
                    if (from == fromAfter && to == toAfter) continue;
                    var written = Path.GetRelativePath(Path.GetDirectoryName(fromAfter)!, toAfter).Replace('\\', '/');
                    if (written != used.Written) edits.Add(plan, tree.Source, used.Span, written.Replace("\"", "\\\"", StringComparison.Ordinal));
                }
            }
        }
        return edits.IsEmpty ? null : edits.Edit;
    }
}
