using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>
/// The server keeps to what a client said that it can do. Of each ability on the list, by its name in the protocol's
/// <c>ClientCapabilities</c>, it shows in the answers whether the client has it; a client that lacks one loses that, and nothing else.
/// </summary>
public sealed class CapabilityTests : IDisposable
{
    private const string Text = """
        rig "Lantern Quay"
        use "library/stage.rig"
        use "library/desks.rig"
        act tide "The Tide Band"
        unit rack : StageRack(32, 16)  "Stage rack"
        unit desk : Desk48             "Desk" { expansion = NetCard(64) }
        network stage : aes67 { join rack.net, desk.expansion.net }
        loom red "Stage-left loom" : 12 ways 15 m
        timekeeper desk
        follow rack from net
        feed fiddle : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1]
        feed double : rack.mic[2] -> desk.expansion.net[1] -> desk.ch[2]
        /* A remark that is not closed: what mends it needs nobody's consent.
        """;

    private static readonly Dictionary<string, Func<Session, bool>> Abilities = new()
    {
        ["general/positionEncodings"] = s => (string?)s.Server["positionEncoding"] == "utf-8",
        ["workspace/workspaceEdit/documentChanges"] = s => s.Result("textDocument/rename")!["documentChanges"] is not null,
        ["workspace/didChangeWatchedFiles/dynamicRegistration"] = s => s.Requests.Contains("client/registerCapability"),
        ["workspace/fileOperations/willRename"] = s => s.Server["workspace"]!["fileOperations"] is not null,
        ["workspace/symbol/symbolKind"] = s => Kinds(s.Result("workspace/symbol")).Any(k => k > 18),
        ["workspace/textDocumentContent"] = s => s.Server["workspace"]!["textDocumentContent"] is not null,
        ["textDocument/publishDiagnostics/relatedInformation"] = s => s.Findings.Any(f => f["relatedInformation"] is not null),
        ["textDocument/publishDiagnostics/codeDescriptionSupport"] = s => s.Findings.Any(f => f["codeDescription"] is not null),
        ["textDocument/publishDiagnostics/tagSupport"] = s => s.Findings.Any(f => f["tags"] is not null),
        ["textDocument/publishDiagnostics/versionSupport"] = s => s.Published.Any(p => p["version"] is not null),
        ["textDocument/completion/completionItem/snippetSupport"] = s => Items(s.Result("textDocument/completion")).Any(i => (int?)i["insertTextFormat"] == 2),
        ["textDocument/completion/completionItem/documentationFormat"] = s => Items(s.Result("textDocument/completion")).Any(i => (string?)i["documentation"]?["kind"] == "markdown"),
        ["textDocument/completion/completionItemKind"] = s => Items(s.Result("textDocument/completion")).Any(i => (int?)i["kind"] > 18),
        ["textDocument/hover/contentFormat"] = s => (string?)s.Result("textDocument/hover")!["contents"]!["kind"] == "markdown",
        ["textDocument/signatureHelp/signatureInformation/documentationFormat"] = s => (string?)s.Result("textDocument/signatureHelp")!["signatures"]![0]!["documentation"]!["kind"] == "markdown",
        ["textDocument/definition/linkSupport"] = s => s.Result("textDocument/definition")![0]!["targetUri"] is not null,
        ["textDocument/declaration/linkSupport"] = s => s.Result("textDocument/declaration")![0]!["targetUri"] is not null,
        ["textDocument/typeDefinition/linkSupport"] = s => s.Result("textDocument/typeDefinition")![0]!["targetUri"] is not null,
        ["textDocument/documentSymbol/hierarchicalDocumentSymbolSupport"] = s => s.Result("textDocument/documentSymbol")![0]!["selectionRange"] is not null,
        ["textDocument/documentSymbol/symbolKind"] = s => Kinds(s.Result("textDocument/documentSymbol")).Any(k => k > 18),
        ["textDocument/codeAction/codeActionLiteralSupport"] = s => s.Server["codeActionProvider"] is not null && s.Result("textDocument/codeAction") is JsonArray { Count: > 0 },
        ["textDocument/codeAction/isPreferredSupport"] = s => s.Result("textDocument/codeAction") is JsonArray actions && actions.Any(a => a!["isPreferred"] is not null),
        ["textDocument/rename/prepareSupport"] = s => s.Server["renameProvider"] is JsonObject,
        ["textDocument/diagnostic"] = s => s.Server["diagnosticProvider"] is not null && s.Published.Count == 0,
    };

    /// <summary>What a client can't show without another ability, which it then lacks too.</summary>
    private static readonly Dictionary<string, string> Needs = new()
    {
        ["textDocument/codeAction/isPreferredSupport"] = "textDocument/codeAction/codeActionLiteralSupport",
    };

    private readonly Folder folder = new();

    public static TheoryData<string> Names => [.. Abilities.Keys];

    public void Dispose() => folder.Dispose();

    [Theory]
    [MemberData(nameof(Names))]
    public async Task A_client_that_lacks_one_loses_that_and_nothing_else(string lacked)
    {
        var client = All(isPulling: !lacked.Contains("versionSupport", StringComparison.Ordinal));
        var whole = await Session.With(client, folder);
        Abilities[lacked](whole).Should().BeTrue("a client that has everything has {0}", lacked);

        Remove(client, lacked);
        var session = await Session.With(client, folder);
        Abilities[lacked](session).Should().BeFalse("the client said nothing of {0}", lacked);
        // Findings are sent to a client that does not ask for them, with their versions.
        foreach (var (name, shows) in Abilities)
            if (name != lacked && Needs.GetValueOrDefault(name) != lacked && !IsOfSending(name)) shows(session).Should().Be(shows(whole), "{0} has nothing to do with {1}", name, lacked);

        bool IsOfSending(string name) => lacked == "textDocument/diagnostic" && name.EndsWith("versionSupport", StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_client_that_says_nothing_has_none_of_them()
    {
        var session = await Session.With(Clients.Plain, folder);
        Abilities.Where(a => a.Value(session)).Select(a => a.Key).Should().BeEmpty();
    }

    [Theory]
    [MemberData(nameof(Names))]
    public async Task A_client_that_says_one_thing_has_that_alone(string name)
    {
        if (Needs.ContainsKey(name)) return;
        var client = Clients.Plain;
        Put(client, name, At(All(isPulling: true), name)!.DeepClone());

        var session = await Session.With(client, folder);
        Abilities.Where(a => a.Value(session)).Select(a => a.Key).Should().Equal(name);
    }

    private static JsonObject All(bool isPulling)
    {
        var client = isPulling ? Clients.Pulling : Clients.Full;
        client["general"]!["positionEncodings"] = new JsonArray("utf-8", "utf-16");
        return client;
    }

    private static JsonNode? At(JsonNode client, string name) => name.Split('/').Aggregate((JsonNode?)client, (node, key) => node?[key]);

    private static void Remove(JsonObject client, string name)
    {
        var keys = name.Split('/');
        keys.SkipLast(1).Aggregate((JsonNode)client, (node, key) => node[key]!).AsObject().Remove(keys[^1]).Should().BeTrue("{0} is on the list of what the full client can do", name);
    }

    private static void Put(JsonObject client, string name, JsonNode value)
    {
        var keys = name.Split('/');
        foreach (var key in keys.SkipLast(1))
        {
            if (client[key] is null) client[key] = new JsonObject();
            client = client[key]!.AsObject();
        }
        client[keys[^1]] = value;
    }

    private static IEnumerable<int> Kinds(JsonNode? symbols) => symbols!.AsArray().Select(s => (int)s!["kind"]!);

    private static IEnumerable<JsonNode> Items(JsonNode? completions) => completions!.AsArray().SelectMany(c => c!["items"]!.AsArray()).OfType<JsonNode>();

    /// <summary>A session in which everything was asked once.</summary>
    private sealed class Session
    {
        private readonly Dictionary<string, JsonNode?> answers = [];

        public required JsonObject Server { get; init; }

        public required HashSet<string> Requests { get; init; }

        /// <summary>What was sent of findings, unasked.</summary>
        public List<JsonObject> Published { get; } = [];

        /// <summary>The findings, asked for or sent.</summary>
        public IEnumerable<JsonNode> Findings => (Published is [.., var last] ? last["diagnostics"] : Result("textDocument/diagnostic")!["items"])!.AsArray().OfType<JsonNode>();

        public JsonNode? Result(string method) => answers[method];

        public static async Task<Session> With(JsonObject client, Folder folder)
        {
            using var server = ServerProcess.StartWithin();
            var initialized = await server.Initialize(client, folder.FullPath);
            var session = new Session { Server = initialized["capabilities"]!.AsObject(), Requests = [] };
            var uri = folder.UriOf("quay.rig");
            server.Open(uri, Text);
            foreach (var (method, at) in ((string, string)[])[("textDocument/hover", "rack :"), ("textDocument/signatureHelp", "32, 16"), ("textDocument/definition", "StageRack"), ("textDocument/declaration", "StageRack"), ("textDocument/typeDefinition", "rack :")])
                await session.Ask(server, method, Parameters(at));
            var rename = Parameters("rack :");
            rename["newName"] = "stage_rack";
            await session.Ask(server, "textDocument/rename", rename);
            await session.Ask(server, "textDocument/documentSymbol", new JsonObject { ["textDocument"] = Document() });
            await session.Ask(server, "workspace/symbol", new JsonObject { ["query"] = "" });
            await session.Ask(server, "textDocument/codeAction", new JsonObject { ["textDocument"] = Document(), ["range"] = ServerProcess.RangeOf(0, 0, 12, 0), ["context"] = new JsonObject { ["diagnostics"] = new JsonArray() } });
            // At the start of a line, where statements are proposed, and inside brackets, where channels are.
            var items = new JsonArray();
            foreach (var at in (string[])["feed fiddle", "1] -> desk.exp"])
                items.Add((await server.Ask("textDocument/completion", Parameters(at)))["result"]!.DeepClone());
            session.answers["textDocument/completion"] = items;
            if (client["textDocument"]?["diagnostic"] is not null) await session.Ask(server, "textDocument/diagnostic", new JsonObject { ["textDocument"] = Document() });
            else session.Published.Add(await server.Told("textDocument/publishDiagnostics"));
            if (server.HasTold("textDocument/publishDiagnostics")) session.Published.Add(await server.Told("textDocument/publishDiagnostics"));
            foreach (var request in server.Requests) session.Requests.Add((string)request["method"]!);
            return session;

            JsonObject Document() => new() { ["uri"] = uri };

            JsonObject Parameters(string at)
            {
                var before = Text[..Text.IndexOf(at, StringComparison.Ordinal)];
                var line = before.Count(c => c == '\n');
                return new JsonObject { ["textDocument"] = Document(), ["position"] = new JsonObject { ["line"] = line, ["character"] = before.Length - before.LastIndexOf('\n') - 1 } };
            }
        }

        private async Task Ask(ServerProcess server, string method, JsonObject parameters)
        {
            var answer = await server.Ask(method, parameters);
            answer["error"].Should().BeNull("{0} is answered", method);
            answers[method] = answer["result"]?.DeepClone();
        }
    }
}
