namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// Asks the client to request again what it shows of open documents when another file of their plan has changed, since the client can't
/// know that they are affected. The requests are sent once, after a pause in the changes.
/// </summary>
internal sealed class Refresher : IDisposable
{
    /// <summary>The pause to wait for: as long as house rules wait.</summary>
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

    /// <summary>Determines what a change affects.</summary>
    /// <param name="before">The snapshot before the change.</param>
    /// <param name="now">The snapshot after the change.</param>
    public void Look(Snapshot before, Snapshot now)
    {
        var client = now.Client;
        foreach (var document in now.Documents.Values)
        {
            // The client requests everything of a newly opened document anyway.
            if (!before.Documents.ContainsKey(document.FullPath) || before.ViewOf(document.Uri) is not { } then || now.ViewOf(document.Uri) is not { } view || !IsConcerned(then, view)) continue;
            if (client.RefreshesHints) Want("workspace/inlayHint/refresh");
            if (client.RefreshesLenses) Want("workspace/codeLens/refresh");
            if (client.RefreshesTokens && then.Plan.Compilation.Queries.MeaningOfNames != view.Plan.Compilation.Queries.MeaningOfNames) Want("workspace/semanticTokens/refresh");
            LookForFindings(client);
        }
        // Every change restarts the wait for a pause.
        lock (gate) Wait();
    }

    /// <summary>Notes that an open document has, or may have, different diagnostics although its text did not change.</summary>
    public void LookForFindings(Client client)
    {
        // A client that gets diagnostics pushed has them already.
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

    /// <summary>Whether a document belongs to a different plan, or another file of its plan has changed.</summary>
    private static bool IsConcerned(DocumentView before, DocumentView now)
    {
        if (before.Plan.Compilation == now.Plan.Compilation) return false;
        if (before.Plan.RootPath != now.Plan.RootPath) return true;
        var (then, trees) = (before.Plan.Compilation.Trees, now.Plan.Compilation.Trees);
        foreach (var tree in trees)
            if (tree != now.Tree && before.Plan.TreeNamed(tree.Source.Path) is { } old && old != tree && old.Source.Content != tree.Source.Content) return true;
        // If the document itself changed, files added or removed are due to its own `use` statements.
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
