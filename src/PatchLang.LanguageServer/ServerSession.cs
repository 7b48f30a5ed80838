using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Features;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Rules;
using PatchLang.LanguageServer.Transport;
using PatchLang.Scripting.Hosting;

namespace PatchLang.LanguageServer;

/// <summary>The language server: one session with one client, over a pair of streams.</summary>
public sealed class ServerSession : IDisposable
{
    private const string Name = "patchlang";

    /// <summary>How often to check that the client's process is alive: rarely, since a closed connection shows the same at once.</summary>
    private static readonly TimeSpan ProcessWatch = TimeSpan.FromSeconds(5);

    private static readonly string[] WatchedFiles = ["**/*.rig", "**/*.csx", "**/" + RuleList.FileName];

    private readonly Connection connection;
    private readonly RuleWatch rules = new();
    private readonly Refresher refresher;
    private readonly string version;
    private readonly Action<string> forget;
    private readonly TaskCompletionSource ended = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private Workspace? workspace;
    private bool isShutDown;
    private bool isWatching;
    private bool hasRehearsed;

    private ServerSession(Stream input, Stream output, string version)
    {
        this.version = version;
        connection = new Connection(input, output) { Refusal = Refusal };
        refresher = new Refresher(method => _ = connection.Ask(method, null));
        connection.Complain = (method, e) => Complain(Apology.For(method, e));
        var json = ProtocolJson.Default;
        connection.OnRequest("initialize", json.InitializeParams, (parameters, _) => Task.FromResult<object?>(Initialize(parameters)));
        connection.OnNotification("initialized", json.NoParams, _ => Initialized());
        connection.OnRequest("shutdown", json.NoParams, (_, _) => Shutdown());
        connection.OnNotification("exit", json.NoParams, _ => ended.TrySetResult());
        connection.OnNotification("$/setTrace", json.NoParams, _ => { });
        connection.OnNotification("workspace/didChangeConfiguration", json.DidChangeConfigurationParams, p => Wish(rules.Wishes.With(p.Settings)));
        connection.OnNotification("textDocument/didOpen", json.DidOpenTextDocumentParams, p => workspace?.Open(p.TextDocument));
        connection.OnNotification("textDocument/didChange", json.DidChangeTextDocumentParams, p => workspace?.Edit(p));
        connection.OnNotification("textDocument/didClose", json.TextDocumentParams, p => Close(p.TextDocument.Uri));
        connection.OnNotification("textDocument/didSave", json.TextDocumentParams, _ => { });
        connection.OnNotification("workspace/didChangeWatchedFiles", json.DidChangeWatchedFilesParams, p => FilesChanged(p.Changes));
        connection.OnNotification("workspace/didChangeWorkspaceFolders", json.DidChangeWorkspaceFoldersParams, p => workspace?.FoldersChanged(p.Event));
        forget = FeatureList.AddTo(connection, (answer, cancelled) => workspace!.Ask(answer, cancelled));
    }

    /// <summary>Serves a client until it exits or disconnects.</summary>
    /// <param name="input">The stream of messages from the client.</param>
    /// <param name="output">The stream of messages to the client.</param>
    /// <param name="version">The server's version, for the client to show.</param>
    /// <returns>The exit code required by the protocol: 0 if the client sent <c>shutdown</c> before, else 1.</returns>
    public static async Task<int> Run(Stream input, Stream output, string version)
    {
        using var server = new ServerSession(input, output, version);
        server.connection.Listen();
        var closed = server.connection.Closed.ContinueWith(_ => { }, TaskScheduler.Default); // a broken connection counts as closed
        await Task.WhenAny(server.ended.Task, closed).ConfigureAwait(false);
        return server.isShutDown ? 0 : 1;
    }

    /// <summary>Ends the session.</summary>
    public void Dispose()
    {
        rules.Dispose();
        refresher.Dispose();
        workspace?.Dispose();
        connection.Dispose();
    }

    private RefusedException? Refusal(string method) => method switch
    {
        "exit" => null,
        _ when isShutDown => new RefusedException(RefusedException.InvalidRequest, "the session has ended: only exit may follow shutdown"),
        "initialize" => workspace is null ? null : new RefusedException(RefusedException.InvalidRequest, "initialize may be sent once"),
        _ => workspace is null ? new RefusedException(RefusedException.NotInitialized, "initialize has to come first") : null,
    };

    private InitializeResult Initialize(InitializeParams parameters)
    {
        var client = new Client(parameters);
        var publisher = new Publisher(connection);
        workspace = new Workspace(client)
        {
            Settled = snapshot =>
            {
                if (publisher.Publish(snapshot)) refresher.LookForFindings(client);
                rules.Look(snapshot);
                RehearseOnce(client);
            },
            Changed = refresher.Look,
            Complain = Complain,
        };
        rules.Tell = workspace.Judge;
        rules.Complain = line => _ = connection.Notify("window/showMessage", new LogMessageParams(MessageType.Warning, line));
        rules.Wish(new RuleWishes().With(parameters.InitializationOptions));
        if (client.ShowsProgress) workspace.Working = new LongWork(connection).Begin;
        workspace.Start();
        if (client.ProcessId is { } id) _ = EndWith(id);
        isWatching = client.RegistersWatchers;
        return new InitializeResult(FeatureList.CapabilitiesFor(client), new ServerInfo(Name, version));
    }

    private void Complain(string line) => _ = connection.Notify("window/logMessage", new LogMessageParams(MessageType.Error, line));

    private void Initialized()
    {
        if (!isWatching) return;
        var watchers = new WatchedFilesRegistrationOptions([.. WatchedFiles.Select(f => new Protocol.FileSystemWatcher(f))]);
        _ = connection.Ask("client/registerCapability", new RegistrationParams([new Registration("plans", "workspace/didChangeWatchedFiles") { RegisterOptions = watchers }]));
    }

    /// <summary>Warms up: after the first findings, which it must not delay, and in parallel with whatever comes next.</summary>
    private void RehearseOnce(Client client)
    {
        if (hasRehearsed) return;
        hasRehearsed = true;
        _ = Task.Run(Rehearse);

        void Rehearse()
        {
            try
            {
                foreach (var answer in Rehearsal.Answers(client)) connection.Rehearse(answer);
            }
#pragma warning disable CA1031 // the session can go on without it
            catch (Exception e)
#pragma warning restore CA1031
            {
                Complain(Apology.For("a rehearsal", e));
            }
        }
    }

    private void Close(string uri)
    {
        forget(uri);
        workspace?.Close(uri);
    }

    private void Wish(RuleWishes wished)
    {
        if (rules.Wish(wished)) workspace?.LookAgain();
    }

    private void FilesChanged(FileEvent[] events)
    {
        workspace?.FilesChanged(events);
        if (!Array.Exists(events, e => e.Uri.EndsWith(".csx", StringComparison.OrdinalIgnoreCase) || e.Uri.EndsWith("/" + RuleList.FileName, StringComparison.Ordinal))) return;
        rules.Forget();
        workspace?.LookAgain();
    }

    private Task<object?> Shutdown()
    {
        isShutDown = true;
        return Task.FromResult<object?>(null);
    }

    /// <summary>Ends the session soon after a process has ended: if a client crashes, its connection may stay open.</summary>
    private async Task EndWith(int processId)
    {
        using var timer = new PeriodicTimer(ProcessWatch);
        while (!ended.Task.IsCompleted && IsAlive(processId)) await timer.WaitForNextTickAsync().ConfigureAwait(false);
        ended.TrySetResult();
    }

    private static bool IsAlive(int processId)
    {
        try
        {
            using var process = System.Diagnostics.Process.GetProcessById(processId);
            return !process.HasExited;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
