using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>The state after some message of the client. Immutable: requests are answered from it while the next one is being computed.</summary>
/// <param name="Client">The client.</param>
/// <param name="Documents">The open documents, by path.</param>
/// <param name="Plans">The plans that the open documents belong to.</param>
internal sealed record Snapshot(Client Client, ImmutableDictionary<string, OpenDocument> Documents, ImmutableArray<LoadedPlan> Plans)
{
    private Dictionary<string, List<Protocol.Diagnostic>>? found;

    /// <summary>The findings of every file, by document; worked out when first asked for.</summary>
    public IReadOnlyDictionary<string, List<Protocol.Diagnostic>> Found => LazyInitializer.EnsureInitialized(ref found, () => Diagnostics.ByDocument(this));

    /// <summary>A document within its plan; null if it belongs to none.</summary>
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

    /// <summary>A document within each plan that it belongs to.</summary>
    public IEnumerable<DocumentView> ViewsOf(string uri)
    {
        if (ViewOf(uri) is not { } first) yield break;
        yield return first;
        var path = DocumentUri.PathOf(uri) ?? uri;
        foreach (var plan in Plans)
            if (plan != first.Plan && plan.TreeOf(path) is { } tree) yield return new DocumentView(this, plan, tree, first.Uri);
    }

    /// <summary>The URI of one of a plan's files, as the client knows it.</summary>
    public string UriOf(LoadedPlan plan, SourceText source)
    {
        if (source.IsLibrary) return DocumentUri.OfLibrary(source, Client);
        var path = plan.FullPathOf(source);
        return Documents.TryGetValue(path, out var open) ? open.Uri : DocumentUri.OfPath(path);
    }

    /// <summary>The URI of a plan's root.</summary>
    public string RootUriOf(LoadedPlan plan) => UriOf(plan, plan.Compilation.Trees[0].Source);

    /// <summary>The client's version of a file's text; null if the file is not open.</summary>
    public int? VersionOf(LoadedPlan plan, SourceText source) =>
        !source.IsLibrary && Documents.TryGetValue(plan.FullPathOf(source), out var open) ? open.Version : null;
}

/// <summary>A document within a plan.</summary>
/// <param name="Snapshot">The state it belongs to.</param>
/// <param name="Plan">The plan.</param>
/// <param name="Tree">The document's syntax tree in the plan.</param>
/// <param name="Uri">The client's URI.</param>
internal sealed record DocumentView(Snapshot Snapshot, LoadedPlan Plan, SyntaxTree Tree, string Uri)
{
    public Client Client => Snapshot.Client;

    public PositionMap Positions => Snapshot.Client.Positions;

    public SourceText Source => Tree.Source;

    public int OffsetOf(Protocol.Position position) => Positions.OffsetOf(Source, position);

    public Protocol.Range RangeOf(TextSpan span) => Positions.RangeOf(Source, span);

    /// <summary>A span of one of the plan's files, as a location of the protocol.</summary>
    public Protocol.Location LocationOf(SourceText source, TextSpan span) => new(Snapshot.UriOf(Plan, source), Positions.RangeOf(source, span));
}
