using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>A client is told to ask again about an open document when something else of its plan has changed, and then once.</summary>
public sealed class RefreshTests : IDisposable
{
    private const string Equipment = """
        format line { joins shared  way one  time none  medium copper }
        gear Box "box" { out a[4] : line }
        gear Ear "ear" { in a[4] : line { recorder } }

        """;

    private const string Root = """
        rig "Lantern Quay"
        use "gear.rig"
        unit box : Box
        unit ear : Ear
        cable box.a[1] -> ear.a[1] : copper 5 m
        feed lead : box.a[1] -> ear.a[1]

        """;

    private static readonly Dictionary<string, string> Methods = new()
    {
        ["codeLens"] = "workspace/codeLens/refresh",
        ["diagnostics"] = "workspace/diagnostic/refresh",
        ["inlayHint"] = "workspace/inlayHint/refresh",
        ["semanticTokens"] = "workspace/semanticTokens/refresh",
    };

    private readonly Folder folder = new();

    public static TheoryData<string> Kinds => [.. Methods.Keys];

    public void Dispose() => folder.Dispose();

    [Fact]
    public async Task Edits_of_a_file_concern_the_open_documents_of_its_plan_once()
    {
        using var server = await Opened(Clients.Pulling);

        for (var i = 0; i < 5; i++) server.Change(folder.UriOf("gear.rig"), 2 + i, 1, 5, 1, 5, "x");
        await All(server, Methods.Values);

        await server.Ask("textDocument/diagnostic", Document("quay.rig"));
        Refreshes(server).Should().BeEquivalentTo(Methods.Values);
    }

    [Fact]
    public async Task Edits_of_a_document_do_not_concern_itself_nor_another_plan()
    {
        folder.With("gear.rig", Equipment);
        using var server = ServerProcess.StartWithin();
        await server.Initialize(Clients.Pulling, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        server.Open(folder.UriOf("other.rig"), "rig \"Another quay\"\nuse \"gear.rig\"\n");
        await server.Ask("textDocument/diagnostic", Document("quay.rig"));

        server.Change(folder.UriOf("quay.rig"), 2, 2, 5, 2, 5, "x"); // a unit has another name
        await server.Ask("textDocument/diagnostic", Document("quay.rig"));
        server.Change(folder.UriOf("quay.rig"), 3, 1, 0, 1, 0, "// "); // a file is used no more
        await server.Ask("textDocument/diagnostic", Document("quay.rig"));
        await Task.Delay(TimeSpan.FromSeconds(1)); // longer than the server waits
        Refreshes(server).Should().BeEmpty();
    }

    [Fact]
    public async Task A_file_that_changes_on_the_disk_concerns_whoever_uses_it()
    {
        folder.With("gear.rig", Equipment);
        using var server = ServerProcess.StartWithin();
        await server.Initialize(Clients.Pulling, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        await server.Ask("textDocument/diagnostic", Document("quay.rig"));

        folder.With("gear.rig", Equipment.Replace("gear Ear", "gear Eer", StringComparison.Ordinal));
        server.Tell("workspace/didChangeWatchedFiles", new JsonObject { ["changes"] = new JsonArray(new JsonObject { ["uri"] = folder.UriOf("gear.rig"), ["type"] = 2 }) });
        await All(server, Methods.Values);
    }

    [Fact]
    public async Task What_no_name_hangs_on_leaves_the_colours_alone()
    {
        using var server = await Opened(Clients.Pulling);

        server.Change(folder.UriOf("quay.rig"), 2, 5, 30, 5, 31, "2"); // the feed leaves through another socket
        await All(server, [Methods["codeLens"], Methods["diagnostics"], Methods["inlayHint"]]);

        Refreshes(server).Should().NotContain(Methods["semanticTokens"]);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_client_that_lacks_one_is_asked_for_the_others(string lacked)
    {
        var client = Clients.Pulling;
        client["workspace"]!.AsObject().Remove(lacked).Should().BeTrue();
        using var server = await Opened(client);

        server.Change(folder.UriOf("gear.rig"), 2, 1, 5, 1, 5, "x");
        await All(server, Methods.Where(m => m.Key != lacked).Select(m => m.Value));

        await server.Ask("textDocument/diagnostic", Document("quay.rig"));
        Refreshes(server).Should().NotContain(Methods[lacked]);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_client_that_has_one_is_asked_for_that_alone(string kind)
    {
        var client = Clients.Plain;
        client["workspace"] = new JsonObject { [kind] = new JsonObject { ["refreshSupport"] = true } };
        if (kind == "diagnostics") client["textDocument"] = new JsonObject { ["diagnostic"] = new JsonObject() };
        using var server = await Opened(client);

        server.Change(folder.UriOf("gear.rig"), 2, 1, 5, 1, 5, "x");
        await All(server, [Methods[kind]]);

        await server.Ask("textDocument/hover", Document("quay.rig", at: 0));
        Refreshes(server).Should().Equal(Methods[kind]);
    }

    /// <summary>A session in which the plan and what it uses are open.</summary>
    private async Task<ServerProcess> Opened(JsonObject client)
    {
        folder.With("gear.rig", Equipment);
        var server = ServerProcess.StartWithin();
        await server.Initialize(client, folder.FullPath);
        // The plan that uses a file comes first: else the file would come to be part of another plan, which concerns it too.
        server.Open(folder.UriOf("quay.rig"), Root);
        server.Open(folder.UriOf("gear.rig"), Equipment);
        await server.Ask("textDocument/hover", Document("quay.rig", at: 0));
        return server;
    }

    private static async Task All(ServerProcess server, IEnumerable<string> methods)
    {
        foreach (var method in methods) await server.Asked(method);
    }

    private static IEnumerable<string> Refreshes(ServerProcess server) =>
        server.Requests.Select(r => (string)r["method"]!).Where(m => m.EndsWith("/refresh", StringComparison.Ordinal));

    private JsonObject Document(string name, int? at = null)
    {
        var parameters = new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = folder.UriOf(name) } };
        if (at is { } line) parameters["position"] = new JsonObject { ["line"] = line, ["character"] = 0 };
        return parameters;
    }
}
