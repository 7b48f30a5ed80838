using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// Collects changes of several files into one workspace edit, in the form that the client supports. Duplicates from several plans are dropped.
/// </summary>
internal sealed class EditCollector(Snapshot snapshot)
{
    private readonly Dictionary<string, (int? Version, List<TextEdit> Edits)> files = new(StringComparer.Ordinal);
    private readonly HashSet<(string Uri, TextEdit Edit)> added = [];

    public bool IsEmpty => files.Count == 0;

    public void Add(LoadedPlan plan, SourceText source, TextSpan span, string newText)
    {
        if (source.IsLibrary) return;
        var uri = snapshot.UriOf(plan, source);
        if (!files.TryGetValue(uri, out var file)) files[uri] = file = (snapshot.VersionOf(plan, source), []);
        var edit = new TextEdit(snapshot.Client.Positions.RangeOf(source, span), newText);
        if (added.Add((uri, edit))) file.Edits.Add(edit);
    }

    public WorkspaceEdit Edit => snapshot.Client.EditsVersionedDocuments
        ? new WorkspaceEdit
        {
            DocumentChanges = [.. files.Select(f => new TextDocumentEdit(new OptionalVersionedTextDocumentIdentifier(f.Key) { Version = f.Value.Version }, [.. f.Value.Edits]))],
        }
        : new WorkspaceEdit { Changes = files.ToDictionary(f => f.Key, f => f.Value.Edits.ToArray(), StringComparer.Ordinal) };
}
