using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>Everything as it is after some message of the client. Immutable: answers are worked out on it while the next one is made.</summary>
/// <param name="Client">Whom the answers are for.</param>
/// <param name="Documents">What is open, by place.</param>
/// <param name="Plans">The plans that something open belongs to.</param>
internal sealed record Snapshot(Client Client, ImmutableDictionary<string, OpenDocument> Documents, ImmutableArray<LoadedPlan> Plans)
{
    private Dictionary<string, List<Protocol.Diagnostic>>? found;

    /// <summary>The findings of every file, by document; worked out when first asked for.</summary>
    public IReadOnlyDictionary<string, List<Protocol.Diagnostic>> Found => LazyInitializer.EnsureInitialized(ref found, () => Diagnostics.ByDocument(this));

    /// <summary>A document in its plan; null if it is in none.</summary>
    public DocumentView? ViewOf(string uri)
    {
        if (DocumentUri.LibraryPathOf(uri) is { } library)
        {
            foreach (var plan in Plans)
                if (plan.TreeNamed(library) is { } shipped) return new DocumentView(this, plan, shipped, uri);
            return null;
        }
        var path = DocumentUri.PathOf(uri) ?? uri;
        foreach (var plan in Plans)
            if (plan.TreeOf(path) is { } tree) return new DocumentView(this, plan, tree, Documents.TryGetValue(path, out var open) ? open.Uri : uri);
        return null;
    }

    /// <summary>A document in every plan that it belongs to.</summary>
    public IEnumerable<DocumentView> ViewsOf(string uri)
    {
        if (ViewOf(uri) is not { } first) yield break;
        yield return first;
        var path = DocumentUri.PathOf(uri) ?? uri;
        foreach (var plan in Plans)
            if (plan != first.Plan && plan.TreeOf(path) is { } tree) yield return new DocumentView(this, plan, tree, first.Uri);
    }

    /// <summary>The client's name for one of a plan's files.</summary>
    public string UriOf(LoadedPlan plan, SourceText source)
    {
        if (source.IsLibrary) return DocumentUri.OfLibrary(source, Client);
        var path = plan.FullPathOf(source);
        return Documents.TryGetValue(path, out var open) ? open.Uri : DocumentUri.OfPath(path);
    }

    /// <summary>The client's name for a plan's root.</summary>
    public string RootUriOf(LoadedPlan plan) => UriOf(plan, plan.Compilation.Trees[0].Source);

    /// <summary>The version that the client gave a file's text; null if it is not open.</summary>
    public int? VersionOf(LoadedPlan plan, SourceText source) =>
        !source.IsLibrary && Documents.TryGetValue(plan.FullPathOf(source), out var open) ? open.Version : null;
}

/// <summary>A document, seen in its plan.</summary>
/// <param name="Snapshot">When.</param>
/// <param name="Plan">The plan.</param>
/// <param name="Tree">The document's statements.</param>
/// <param name="Uri">The client's name for it.</param>
internal sealed record DocumentView(Snapshot Snapshot, LoadedPlan Plan, SyntaxTree Tree, string Uri)
{
    public Client Client => Snapshot.Client;

    public PositionMap Positions => Snapshot.Client.Positions;

    public SourceText Source => Tree.Source;

    public int OffsetOf(Protocol.Position position) => Positions.OffsetOf(Source, position);

    public Protocol.Range RangeOf(TextSpan span) => Positions.RangeOf(Source, span);

    /// <summary>A stretch of any of the plan's files, in the protocol's words.</summary>
    public Protocol.Location LocationOf(SourceText source, TextSpan span) => new(Snapshot.UriOf(Plan, source), Positions.RangeOf(source, span));
}
