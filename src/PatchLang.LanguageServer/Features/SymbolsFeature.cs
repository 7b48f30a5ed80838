using PatchLang.Declarations;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>Document symbols and workspace symbols: the declarations of a document, and of all plans.</summary>
internal static class SymbolsFeature
{
    private const int Most = 500;

    public static object? Document(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var outline = Outline.Of(view.Tree);
        return view.Client.ShowsSymbolTrees
            ? outline.Select(e => TreeOf(e, view)).ToArray()
            : outline.SelectMany(e => (OutlineEntry[])[e, .. e.Children]).Select(e => new SymbolInformation(e.Name, KindOf(e.Sort, view.Client.ShowsAllDocumentSymbols), view.LocationOf(view.Source, e.Span))).ToArray();
    }

    public static SymbolInformation[] Workspace(Snapshot snapshot, WorkspaceSymbolParams parameters)
    {
        var found = new List<SymbolInformation>();
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var plan in snapshot.Plans)
            foreach (var tree in plan.Compilation.Trees)
            {
                var uri = snapshot.UriOf(plan, tree.Source);
                if (tree.Source.IsLibrary || !seen.Add(uri)) continue;
                foreach (var entry in Outline.Of(tree))
                {
                    if (!Matches(entry.Name, parameters.Query)) continue;
                    found.Add(new SymbolInformation(entry.Name, KindOf(entry.Sort, snapshot.Client.ShowsAllWorkspaceSymbols), new Location(uri, snapshot.Client.Positions.RangeOf(tree.Source, entry.NameSpan))) { ContainerName = entry.Detail });
                    if (found.Count == Most) return [.. found];
                }
            }
        return [.. found];
    }

    /// <summary>Whether a name contains the letters of a query, in order.</summary>
    private static bool Matches(string name, string query)
    {
        var at = 0;
        foreach (var letter in query)
        {
            at = name.IndexOf(letter.ToString(), at, StringComparison.OrdinalIgnoreCase) + 1;
            if (at == 0) return false;
        }
        return true;
    }

    private static DocumentSymbol TreeOf(OutlineEntry entry, DocumentView view) =>
        new(entry.Name, KindOf(entry.Sort, view.Client.ShowsAllDocumentSymbols), view.RangeOf(entry.Span), view.RangeOf(entry.NameSpan))
        {
            Detail = entry.Detail,
            Children = entry.Children.IsEmpty ? null : [.. entry.Children.Select(c => TreeOf(c, view))],
        };

    /// <summary>The symbol kind of a declaration.</summary>
    /// <param name="sort">The sort of declaration.</param>
    /// <param name="isAnyShown">Whether the client supports kinds beyond the protocol's first version.</param>
    public static SymbolKind KindOf(string sort, bool isAnyShown = true) => sort switch
    {
        "unit" => isAnyShown ? SymbolKind.Object : SymbolKind.Variable,
        "feed" => SymbolKind.Function,
        "bundle" => SymbolKind.Array,
        "gear" or "card" => SymbolKind.Class,
        "format" => SymbolKind.Interface,
        "network" => SymbolKind.Namespace,
        "loom" => isAnyShown ? SymbolKind.Struct : SymbolKind.Class,
        "act" => isAnyShown ? SymbolKind.Event : SymbolKind.Module,
        "rig" => SymbolKind.Package,
        "use" => SymbolKind.Module,
        "expect" => SymbolKind.Constant,
        _ => SymbolKind.Property,
    };
}
