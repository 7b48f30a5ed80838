using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.IO.Pipelines;
using System.Text;
using System.Text.Json.Nodes;

namespace PatchLang.LanguageServer.Tests;

/// <summary>
/// The server as an editor has it: a process of its own, spoken to over its streams; what it answers is mostly asked of one within this process. The native program that the environment
/// variable <c>PATCHLANG_PROGRAM</c> names, else the one that was built for these tests.
/// </summary>
internal sealed class ServerProcess : IDisposable
{
    /// <summary>How long an answer may take on a machine that is busy with other things. No test measures time.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private static readonly string? Native = Environment.GetEnvironmentVariable("PATCHLANG_PROGRAM");

    private readonly Process? process;
    private readonly Task<int>? within;
    private readonly Stream input;
    private readonly Stream output;
    private readonly ConcurrentDictionary<int, TaskCompletionSource<JsonObject>> asked = new();
    private readonly List<JsonObject> told = [];
    private readonly Lock gate = new();
    private readonly Task reading;
    private TaskCompletionSource news = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private int lastId;

    private ServerProcess(Process? process, Task<int>? within, Stream input, Stream output)
    {
        (this.process, this.within, this.input, this.output) = (process, within, input, output);
        reading = Task.Run(Read);
    }

    public Process Process => process ?? throw new InvalidOperationException("This server has no process of its own.");

    /// <summary>Every message that went over the line, in order, for a reader who holds it against the protocol.</summary>
    public MessageLog Log { get; } = new();

    /// <summary>What the server asked of the client; it is answered with nothing.</summary>
    public ConcurrentQueue<JsonObject> Requests { get; } = new();

    public static ServerProcess Start(params (string Variable, string Value)[] environment)
    {
        var start = new ProcessStartInfo(Native ?? "dotnet")
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        if (Native is null) start.ArgumentList.Add(BuiltProgram.PatchLang);
        start.ArgumentList.Add("serve");
        foreach (var (variable, value) in environment) start.Environment[variable] = value;
        var started = Process.Start(start)!;
        return new ServerProcess(started, null, started.StandardInput.BaseStream, started.StandardOutput.BaseStream);
    }

    /// <summary>Starts a server within this process, for tests of very many short sessions.</summary>
    public static ServerProcess StartWithin()
    {
        var (asked, answered) = (new Pipe(), new Pipe());
        var session = ServerSession.Run(asked.Reader.AsStream(), answered.Writer.AsStream(), "tests");
        return new ServerProcess(null, session, asked.Writer.AsStream(), answered.Reader.AsStream());
    }

    /// <summary>Starts a server and a session with it.</summary>
    public static async Task<ServerProcess> Start(JsonNode capabilities, params string[] folders)
    {
        var server = Start();
        await server.Initialize(capabilities, folders);
        return server;
    }

    /// <summary>
    /// Starts a server for a test that is about its answers alone: the native program where one is named, else one within this
    /// process, which has compiled before what a new one would compile again.
    /// </summary>
    public static ServerProcess StartForAnswers() => Native is null ? StartWithin() : Start();

    /// <summary>Starts a server for a test that is about its answers alone, and a session with it.</summary>
    public static async Task<ServerProcess> StartForAnswers(JsonNode capabilities, params string[] folders)
    {
        var server = StartForAnswers();
        await server.Initialize(capabilities, folders);
        return server;
    }

    public async Task<JsonObject> Initialize(JsonNode capabilities, params string[] folders)
    {
        var answer = await Ask("initialize", new JsonObject
        {
            ["processId"] = Environment.ProcessId,
            ["rootUri"] = folders.Length == 0 ? null : UriOf(folders[0]),
            ["capabilities"] = capabilities.DeepClone(),
            ["workspaceFolders"] = folders.Length == 0 ? null : new JsonArray([.. folders.Select(f => new JsonObject { ["uri"] = UriOf(f), ["name"] = Path.GetFileName(f) })]),
        });
        Tell("initialized", new JsonObject());
        return answer["result"]!.AsObject();
    }

    public static string UriOf(string path) => new Uri(path).AbsoluteUri;

    /// <summary>Asks, and gives the whole answer: with a result or with an error.</summary>
    public async Task<JsonObject> Ask(string method, JsonNode? parameters) => await Answer(Send(method, parameters));

    /// <summary>Asks and does not wait.</summary>
    public int Send(string method, JsonNode? parameters)
    {
        var id = Interlocked.Increment(ref lastId);
        asked[id] = new TaskCompletionSource<JsonObject>(TaskCreationOptions.RunContinuationsAsynchronously);
        var message = new JsonObject { ["jsonrpc"] = "2.0", ["id"] = id, ["method"] = method };
        if (parameters is not null) message["params"] = parameters;
        Log.Sent(id, method);
        Write(message);
        return id;
    }

    public async Task<JsonObject> Answer(int id) => await asked[id].Task.WaitAsync(Patience);

    public void Tell(string method, JsonNode? parameters)
    {
        var message = new JsonObject { ["jsonrpc"] = "2.0", ["method"] = method };
        if (parameters is not null) message["params"] = parameters;
        Write(message);
    }

    public void Open(string uri, string text, int version = 1) => Tell("textDocument/didOpen", new JsonObject
    {
        ["textDocument"] = new JsonObject { ["uri"] = uri, ["languageId"] = "rig", ["version"] = version, ["text"] = text },
    });

    public void Close(string uri) => Tell("textDocument/didClose", new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = uri } });

    /// <summary>Puts a text in the place of a range; counts from 0.</summary>
    public void Change(string uri, int version, int line, int character, int endLine, int endCharacter, string text) =>
        Tell("textDocument/didChange", new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = uri, ["version"] = version },
            ["contentChanges"] = new JsonArray(new JsonObject { ["range"] = RangeOf(line, character, endLine, endCharacter), ["text"] = text }),
        });

    public static JsonObject RangeOf(int line, int character, int endLine, int endCharacter) => new()
    {
        ["start"] = new JsonObject { ["line"] = line, ["character"] = character },
        ["end"] = new JsonObject { ["line"] = endLine, ["character"] = endCharacter },
    };

    /// <summary>The first message of a method, from now on or from before, that is as wanted.</summary>
    public async Task<JsonObject> Told(string method, Func<JsonObject, bool>? isWanted = null)
    {
        using var late = new CancellationTokenSource(Patience);
        while (true)
        {
            Task next;
            lock (gate)
            {
                var found = told.FindIndex(m => (string?)m["method"] == method && (isWanted is null || isWanted(m["params"]!.AsObject())));
                if (found >= 0)
                {
                    var message = told[found];
                    told.RemoveAt(found);
                    return message["params"]!.AsObject();
                }
                next = news.Task;
            }
            await next.WaitAsync(late.Token);
        }
    }

    /// <summary>Waits for a request of the server's, from now on or from before, that has no parameters.</summary>
    public async Task Asked(string method)
    {
        using var late = new CancellationTokenSource(Patience);
        while (true)
        {
            Task next;
            lock (gate)
            {
                if (told.FindIndex(m => (string?)m["method"] == method) is >= 0 and var found)
                {
                    told.RemoveAt(found);
                    return;
                }
                next = news.Task;
            }
            await next.WaitAsync(late.Token);
        }
    }

    /// <summary>Whether a message of a method has come that nobody took.</summary>
    public bool HasTold(string method)
    {
        lock (gate) return told.Exists(m => (string?)m["method"] == method);
    }

    /// <summary>The findings of a document's version: each as its code and place, 1-based, in order.</summary>
    public async Task<string[]> Findings(string uri, int? version = null) =>
        Codes(await Told("textDocument/publishDiagnostics", p => (string?)p["uri"] == uri && (version is null || (int?)p["version"] == version)));

    public static string[] Codes(JsonObject published) =>
        [.. (published["diagnostics"] ?? published["items"])!.AsArray().Select(d => $"{d!["code"]} {(int)d["range"]!["start"]!["line"]! + 1}:{(int)d["range"]!["start"]!["character"]! + 1}")];

    /// <summary>Writes bytes as they are, right or wrong.</summary>
    public void WriteBytes(byte[] bytes)
    {
        lock (input)
        {
            input.Write(bytes);
            input.Flush();
        }
    }

    /// <summary>Takes leave as the protocol asks, and gives the exit code.</summary>
    public async Task<int> Leave()
    {
        await Ask("shutdown", null);
        Tell("exit", null);
        return await Exit();
    }

    public async Task<int> Exit()
    {
        if (within is not null) return await within.WaitAsync(Patience);
        using var late = new CancellationTokenSource(Patience);
        await Process.WaitForExitAsync(late.Token);
        return Process.ExitCode;
    }

    public void Dispose()
    {
        if (process is null) input.Dispose(); // the end of the line ends the session
        else
        {
            if (!process.HasExited) process.Kill();
            process.Dispose();
        }
        Log.Save();
    }

    private void Write(JsonObject message)
    {
        var body = Encoding.UTF8.GetBytes(message.ToJsonString());
        WriteBytes([.. Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"Content-Length: {body.Length}\r\n\r\n")), .. body]);
    }

    private async Task Read()
    {
        try
        {
            while (await ReadMessage(output) is { } message) Take(message);
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException)
        {
        }
        foreach (var each in asked.Values) each.TrySetException(new IOException("The server ended."));
    }

    private void Take(JsonObject message)
    {
        Log.Received(message);
        if (message["method"] is null)
        {
            if (message["id"] is JsonValue id && id.TryGetValue<int>(out var number) && asked.TryGetValue(number, out var answer)) answer.TrySetResult(message);
            else Keep(new JsonObject { ["method"] = "answer without id", ["params"] = message.DeepClone() });
            return;
        }
        if (message["id"] is { } request)
        {
            Requests.Enqueue(message);
            Write(new JsonObject { ["jsonrpc"] = "2.0", ["id"] = request.DeepClone(), ["result"] = null });
        }
        Keep(message);
    }

    private void Keep(JsonObject message)
    {
        lock (gate)
        {
            told.Add(message);
            (var before, news) = (news, new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously));
            before.TrySetResult();
        }
    }

    private static async Task<JsonObject?> ReadMessage(Stream input)
    {
        var length = -1;
        while (await ReadLine(input) is { } line)
        {
            if (line.Length == 0 && length >= 0)
            {
                var body = new byte[length];
                await input.ReadExactlyAsync(body);
                return JsonNode.Parse(body)!.AsObject();
            }
            if (line.StartsWith("Content-Length:", StringComparison.OrdinalIgnoreCase)) length = int.Parse(line.AsSpan(15).Trim(), CultureInfo.InvariantCulture);
        }
        return null;
    }

    private static async Task<string?> ReadLine(Stream input)
    {
        var line = new StringBuilder();
        var one = new byte[1];
        while (await input.ReadAsync(one) == 1)
            if (one[0] == '\n') return line.ToString().TrimEnd('\r');
            else line.Append((char)one[0]);
        return null;
    }
}
