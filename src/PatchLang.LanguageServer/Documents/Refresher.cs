namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// Has the client ask again for what it shows of open documents, when something else of their plan has changed: it can't know that
/// they are concerned. It is asked to when nothing has changed for a while, and once, however much changed until then.
/// </summary>
internal sealed class Refresher : IDisposable
{
    /// <summary>How long no change may have come: as long as the house rules wait.</summary>
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(400);

    private readonly Lock gate = new();
    private readonly SortedSet<string> wanted = new(StringComparer.Ordinal);
    private readonly Action<string> ask;
    private readonly Timer timer;

    /// <param name="ask">Sends the client a request without parameters.</param>
    public Refresher(Action<string> ask)
    {
        this.ask = ask;
        timer = new Timer(_ => Ask());
    }

    /// <summary>Looks at what a change concerns.</summary>
    /// <param name="before">Everything as it was.</param>
    /// <param name="now">Everything as it is.</param>
    public void Look(Snapshot before, Snapshot now)
    {
        var client = now.Client;
        foreach (var document in now.Documents.Values)
        {
            // What was just opened is asked for anyway.
            if (!before.Documents.ContainsKey(document.FullPath) || before.ViewOf(document.Uri) is not { } then || now.ViewOf(document.Uri) is not { } view || !IsConcerned(then, view)) continue;
            if (client.RefreshesHints) Want("workspace/inlayHint/refresh");
            if (client.RefreshesLenses) Want("workspace/codeLens/refresh");
            if (client.RefreshesTokens && then.Plan.Compilation.Queries.MeaningOfNames != view.Plan.Compilation.Queries.MeaningOfNames) Want("workspace/semanticTokens/refresh");
            LookForFindings(client);
        }
        // Whatever changed, it is no pause.
        lock (gate) Wait();
    }

    /// <summary>Takes in that an open document has, or may have, other findings, though its text is as it was.</summary>
    public void LookForFindings(Client client)
    {
        // A client that is sent its findings has them already.
        if (client is { PullsDiagnostics: true, RefreshesDiagnostics: true }) Want("workspace/diagnostic/refresh");
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (gate)
        {
            wanted.Clear();
            timer.Dispose();
        }
    }

    /// <summary>Whether a document stands in another plan, or in one of which another file is no longer as it was.</summary>
    private static bool IsConcerned(DocumentView before, DocumentView now)
    {
        if (before.Plan.Compilation == now.Plan.Compilation) return false;
        if (before.Plan.RootPath != now.Plan.RootPath) return true;
        var (then, trees) = (before.Plan.Compilation.Trees, now.Plan.Compilation.Trees);
        foreach (var tree in trees)
            if (tree != now.Tree && before.Plan.TreeNamed(tree.Source.Path) is { } old && old != tree && old.Source.Content != tree.Source.Content) return true;
        // Files that come and go by the document's own words are its own change.
        return before.Source.Content == now.Source.Content && !then.Select(t => t.Source.Path).SequenceEqual(trees.Select(t => t.Source.Path), StringComparer.Ordinal);
    }

    private void Want(string method)
    {
        lock (gate)
        {
            wanted.Add(method);
            Wait();
        }
    }

    private void Wait()
    {
        if (wanted.Count > 0) timer.Change(Rest, Timeout.InfiniteTimeSpan);
    }

    private void Ask()
    {
        string[] methods;
        lock (gate)
        {
            methods = [.. wanted];
            wanted.Clear();
        }
        foreach (var method in methods) ask(method);
    }
}
