using System.Collections.Concurrent;
using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Files;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// The open documents and the plans they belong to. A single writer thread applies changes and compiles, and never waits for
/// readers, who get an immutable <see cref="Snapshot"/>. Changes that arrive faster than they can be processed are batched.
/// </summary>
internal sealed class Workspace : IDisposable
{
    private const long WorthGivingBack = 32 << 20;

    /// <summary>
    /// How much garbage edits must have left, in bytes, to be collected between
    /// two of them: less than would trigger a collection during an edit.
    /// </summary>
    private const long WorthCollecting = 4 << 20;

    /// <summary>
    /// After this long without a change, the requests that followed the last one are answered, and the next keystroke is not there yet.
    /// </summary>
    private static readonly TimeSpan Breath = TimeSpan.FromMilliseconds(15);

    /// <summary>
    /// How long, in moments, the writer waits for an answer before it computes findings; a slower answer is computed alongside them.
    /// </summary>
    private const int MostMoments = 4;

    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(1);

    /// <summary>After this long without a change, the user has stopped typing.</summary>
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(2);

    private readonly BlockingCollection<Step> steps = [];
    private readonly Client client;
    private readonly HashSet<string> folders = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, OpenDocument> documents = new(StringComparer.Ordinal); // written by the writer, read by whoever compiles
    private readonly Dictionary<string, LoadedPlan> plans = new(StringComparer.Ordinal);
    private readonly HashSet<string> changed = new(StringComparer.Ordinal);
    private readonly HashSet<string> moved = new(StringComparer.Ordinal);
    private readonly Thread writer;
    private volatile Snapshot current;
    private int waiting;
    private bool isAnyClosed;
    private bool isDirty;
    private bool isJudged;
    private bool isRested;
    private long allocatedAtLast;
    private long allocatedAtCollection;

    /// <param name="client">The client's capabilities.</param>
    public Workspace(Client client)
    {
        this.client = client;
        foreach (var folder in client.Folders) AddFolder(folder);
        current = new Snapshot(client, ImmutableDictionary<string, OpenDocument>.Empty.WithComparers(StringComparer.Ordinal), []);
        writer = new Thread(Write) { IsBackground = true, Name = "compiler" };
    }

    /// <summary>Called on the writer's thread with each snapshot that a request may see, and the one before it.</summary>
    public Action<Snapshot, Snapshot> Changed { get; set; } = (_, _) => { };

    /// <summary>Called on the writer's thread with each snapshot after which no change is waiting.</summary>
    public Action<Snapshot> Settled { get; set; } = _ => { };

    /// <summary>Called when long work begins, with its title; the result is called when the work is done.</summary>
    public Func<string, Action> Working { get; set; } = _ => () => { };

    /// <summary>Called with a message about an internal error.</summary>
    public Action<string> Complain { get; set; } = _ => { };

    /// <summary>Starts the writer thread.</summary>
    public void Start() => writer.Start();

    /// <summary>Computes an answer in the state after exactly those messages that came before the request.</summary>
    public async Task<object?> Ask(Func<Snapshot, object?> answer, CancellationToken cancelled)
    {
        if (Volatile.Read(ref waiting) == 0) return answer(await Task.FromResult(current).ConfigureAwait(ConfigureAwaitOptions.ForceYielding));
        var reader = new Reader();
        using var registration = cancelled.Register(() => reader.State.TrySetCanceled(cancelled));
        Add(reader);
        var snapshot = await reader.State.Task.ConfigureAwait(ConfigureAwaitOptions.ForceYielding);
        try
        {
            return answer(snapshot);
        }
        finally
        {
            reader.Answered.SetResult();
        }
    }

    public void Open(TextDocumentItem item) => Add(new Change(() => Set(OpenDocument.Open(item))));

    public void Edit(DidChangeTextDocumentParams change) => Add(new Change(() =>
    {
        var path = PathOf(change.TextDocument.Uri);
        if (documents.TryGetValue(path, out var document)) Set(document.With(change.TextDocument.Version, change.ContentChanges, client.Positions));
        else Complain($"{change.TextDocument.Uri} was changed and is not open");
    }));

    public void Close(string uri) => Add(new Change(() =>
    {
        var path = PathOf(uri);
        if (!documents.TryRemove(path, out _)) return;
        changed.Add(path); // from now on its text is that on disk
        isAnyClosed = true;
    }));

    /// <summary>Sets the findings of the house rules for a plan; null if there are none any more.</summary>
    public void Judge(string root, Rules.RuleAnswer? answer) => Add(new Change(() =>
    {
        if (!plans.TryGetValue(root, out var plan) || (answer is not null && plan.Compilation != answer.Of)) return; // outdated
        plans[root] = plan with { Rules = answer };
        isJudged = true;
    }));

    /// <summary>Publishes the plans again although nothing in them has changed.</summary>
    public void LookAgain() => Add(new Change(() => isJudged = true));

    public void FilesChanged(IReadOnlyList<FileEvent> events) => Add(new Change(() =>
    {
        foreach (var each in events)
            if (DocumentUri.PathOf(each.Uri) is { } path && !documents.ContainsKey(path)) (each.Type == FileChangeType.Changed ? changed : moved).Add(path);
    }));

    public void FoldersChanged(WorkspaceFoldersChangeEvent change) => Add(new Change(() =>
    {
        foreach (var removed in change.Removed)
            if (DocumentUri.PathOf(removed.Uri) is { } path) folders.Remove(Path.TrimEndingDirectorySeparator(path));
        foreach (var added in change.Added) AddFolder(added.Uri);
        // Roots may now be found in higher folders, or no longer there.
        foreach (var plan in plans.Values.Where(p => !p.SaysSo).ToList()) plans.Remove(plan.RootPath);
    }));

    /// <summary>Ends the writer thread once it has processed everything.</summary>
    public void Dispose() => steps.CompleteAdding();

    private void Add(Step step)
    {
        Interlocked.Increment(ref waiting);
        try
        {
            steps.Add(step);
        }
        catch (InvalidOperationException) // the session is over
        {
            if (step is Reader reader) reader.State.TrySetCanceled();
        }
    }

    private void AddFolder(string uri)
    {
        if (DocumentUri.PathOf(uri) is { } path) folders.Add(Path.TrimEndingDirectorySeparator(path));
    }

    private static string PathOf(string uri) => DocumentUri.PathOf(uri) ?? uri;

    private void Set(OpenDocument document)
    {
        documents[document.FullPath] = document;
        changed.Add(document.FullPath);
    }

    private void Write()
    {
        while (NextStep() is { } first)
        {
            isRested = false;
            var count = 0;
            Reader? reader = null;
            for (Step? step = first; step is not null; step = reader is null && steps.TryTake(out var next) ? next : null)
            {
                count++;
                reader = step as Reader;
                if (step is Change change) Guarded(change.Make);
            }
            // A cancelled request needs no answer, but the changes before it must still be applied.
            if (reader is null || !reader.State.Task.IsCompleted || steps.Count == 0) Settle();
            Interlocked.Add(ref waiting, -count);
            // Answer the request before findings are computed and published, and without competing with that for the processors.
            if (reader?.State.TrySetResult(current) == true) LetAnswer(reader);
            if (steps.Count == 0) Tell();
        }
    }

    /// <summary>Waits until an answer is computed, but only for a few moments, and no longer once a change has arrived.</summary>
    private void LetAnswer(Reader reader)
    {
        for (var moment = 0; moment < MostMoments && steps.Count == 0 && !reader.Answered.Task.Wait(Moment); moment++)
        {
        }
    }

    /// <summary>The next step, waiting for it if necessary; null at the end of the session.</summary>
    private Step? NextStep()
    {
        if (!isRested)
        {
            if (steps.TryTake(out var soon, Breath)) return soon;
            CollectYoung();
            if (steps.TryTake(out soon, Pause)) return soon;
            isRested = true;
            GiveBack();
        }
        return steps.TryTake(out var next, Timeout.Infinite) ? next : null;
    }

    /// <summary>Collects the garbage of the last edits while nobody is waiting, so that no collection interrupts an edit.</summary>
    private void CollectYoung()
    {
        var allocated = GC.GetTotalAllocatedBytes();
        if (allocated - allocatedAtCollection < WorthCollecting) return;
        allocatedAtCollection = allocated;
        GC.Collect(1, GCCollectionMode.Forced, blocking: true);
    }

    /// <summary>Returns memory to the system while nobody types, if there is enough of it.</summary>
    private void GiveBack()
    {
        var allocated = GC.GetTotalAllocatedBytes();
        if (allocated - allocatedAtLast < WorthGivingBack) return;
        allocatedAtLast = allocated;
        GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true);
    }

    private void Settle()
    {
        if (isJudged || changed.Count > 0 || moved.Count > 0 || isAnyClosed || documents.Count != current.Documents.Count || plans.Count != current.Plans.Length)
        {
            Guarded(Compile);
            var before = current;
            current = new Snapshot(client, documents.ToImmutableDictionary(StringComparer.Ordinal), [.. plans.Values.OrderBy(p => p.RootPath, StringComparer.Ordinal)]);
            isDirty = true;
            isJudged = false;
            Guarded(() => Changed(before, current));
        }
    }

    /// <summary>Publishes what has changed, now that no change is waiting.</summary>
    private void Tell()
    {
        if (!isDirty) return;
        isDirty = false;
        Guarded(() => Settled(current));
        if (!isAnyClosed) return;
        isAnyClosed = false;
        if (plans.Count == 0) GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true); // return the memory
    }

    private void Compile()
    {
        foreach (var plan in plans.Values.ToList())
        {
            // A root that is gone is no plan, and one that no longer says that it is one may belong to another plan.
            if (Updated(plan) is not { } updated || (plan.SaysSo && !updated.SaysSo)) plans.Remove(plan.RootPath);
            else plans[plan.RootPath] = updated;
        }
        changed.Clear();
        moved.Clear();
        Rehome();
    }

    /// <summary>A plan with the texts as they are now; null if its root is neither open nor on the disk any more.</summary>
    private LoadedPlan? Updated(LoadedPlan plan)
    {
        if (plan.Folder is { } folder && moved.Any(path => LoadedPlan.NameIn(folder, path) is not null)) return Load(plan.RootPath);
        foreach (var path in changed)
        {
            if (plan.TreeOf(path) is not { Source: { IsLibrary: false } before })
            {
                // A file that the plan asked for in vain may be an open document that is not on the disk yet, or have been mended on the disk.
                if (plan.Folder is not null && plan.NameOf(path) is not null && Lacks(plan, path)) return Load(plan.RootPath);
                continue;
            }
            if (TextOf(before.Path, path) is { } text)
            {
                if (text.Content != before.Content) plan = plan with { Compilation = plan.Compilation.With(text) };
            }
            else return Load(plan.RootPath);
        }
        return plan;
    }

    private static bool Lacks(LoadedPlan plan, string path) =>
        plan.Compilation.Trees.Any(t => !t.Source.IsLibrary && UsedFiles.Of(t, t.Source.Path).Any(u => u.Path == plan.NameOf(path)));

    /// <summary>Ensures that every open document belongs to a plan, and that every plan has an open document.</summary>
    private void Rehome()
    {
        RemoveUsed();
        var homeless = new List<OpenDocument>();
        foreach (var document in documents.Values)
        {
            if (document.IsTooLarge || plans.ContainsKey(document.FullPath)) continue;
            var tree = plans.Values.Select(p => p.TreeOf(document.FullPath)).FirstOrDefault(t => t is not null);
            if (LibraryFile(document) is null && UsedFiles.IsRoot(tree ?? SyntaxTree.Parse(document.Text))) Take(document.FullPath);
            else if (tree is null) homeless.Add(document);
        }
        // After all files with a `rig` statement, so that the result does not depend on the order in which documents were opened.
        var roots = new PlanRoots(folders, path => documents.TryGetValue(path, out var open) && !open.IsTooLarge ? open.Text : null, [.. documents.Keys]);
        foreach (var document in homeless.OrderBy(d => d.FullPath, StringComparer.Ordinal))
            if (!plans.Values.Any(p => p.TreeOf(document.FullPath) is not null))
                foreach (var root in roots.Of(document.FullPath)) Take(root);
        RemoveUsed();
        foreach (var plan in plans.Values.ToList())
            if (!documents.Keys.Any(path => plan.TreeOf(path) is not null)) plans.Remove(plan.RootPath);

        // A file used by another plan is not a plan itself, unless it has a `rig` statement; in a circle of uses the first one is.
        void RemoveUsed()
        {
            foreach (var plan in plans.Values.OrderByDescending(p => p.RootPath, StringComparer.Ordinal).ToList())
                if (!plan.SaysSo && plans.Values.Any(other => other != plan && other.TreeOf(plan.RootPath) is not null)) plans.Remove(plan.RootPath);
        }

        void Take(string root)
        {
            if (Load(root) is { } plan) plans[root] = plan;
        }
    }

    private LoadedPlan? Load(string rootPath)
    {
        var name = documents.TryGetValue(rootPath, out var open) ? LibraryFile(open) ?? open.Text.Path : Path.GetFileName(rootPath);
        if (TextOf(name, rootPath) is not { } text) return null;
        var folder = Path.IsPathRooted(rootPath) ? Path.GetDirectoryName(rootPath) : null;
        var disk = folder is null ? null : new Disk(folder); // it lists each folder once, so it is for the files that are read now
        var done = text.Length < LongWork.FromCharacters ? null : Working($"Reading {Path.GetFileName(name)}");
        try
        {
            var plan = new LoadedPlan(rootPath, Compilation.Create(text, path =>
                folder is null ? FileReading.Failed(FileProblem.NotFound)
                : TextIfOpen(path, Path.GetFullPath(path, folder)) is { } source ? FileReading.Of(source)
                : (disk ?? new Disk(folder)).Read(path)));
            disk = null;
            if (done is not null) _ = plan.Findings; // run the checks of a large plan while progress is shown
            return plan;
        }
        finally
        {
            done?.Invoke();
        }
    }

    private static string? LibraryFile(OpenDocument document) =>
        DocumentUri.LibraryPathOf(document.Uri) is { } path && ShippedLibrary.Find(path) is not null ? path : null;

    /// <summary>The current text of a file: the client's, else that on disk; null if there is none.</summary>
    private SourceText? TextOf(string name, string fullPath) =>
        TextIfOpen(name, fullPath) ?? (Path.IsPathRooted(fullPath) ? PlanText.Read(name, fullPath).Source : null);

    private SourceText? TextIfOpen(string name, string fullPath) =>
        documents.TryGetValue(fullPath, out var open) && !open.IsTooLarge ? open.Text.Path == name ? open.Text : new SourceText(name, open.Text.Content) : null;

    private void Guarded(Action action)
    {
        try
        {
            action();
        }
#pragma warning disable CA1031 // whatever went wrong, later changes must still be processed
        catch (Exception e)
#pragma warning restore CA1031
        {
            Complain(Apology.For("a change", e));
        }
    }

    private abstract record Step;

    private sealed record Change(Action Make) : Step;

    private sealed record Reader : Step
    {
        /// <summary>Completed with the state in which the request is to be answered.</summary>
        public TaskCompletionSource<Snapshot> State { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);

        /// <summary>Completed when the answer has been computed.</summary>
        public TaskCompletionSource Answered { get; } = new();
    }
}
