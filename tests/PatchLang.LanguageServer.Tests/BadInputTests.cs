using System.Text;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Whatever comes in, the server answers or ends calmly, and goes on giving right answers.</summary>
public sealed class BadInputTests(SharedServer shared) : IClassFixture<SharedServer>, IDisposable
{
    private const string Uri = "untitled:quay";

    private readonly Folder folder = new();

    public void Dispose() => folder.Dispose();

    [Theory]
    [InlineData("textDocument/hover")]
    [InlineData("textDocument/completion")]
    [InlineData("textDocument/definition")]
    [InlineData("textDocument/prepareRename")]
    [InlineData("textDocument/signatureHelp")]
    [InlineData("textDocument/documentHighlight")]
    [InlineData("textDocument/prepareCallHierarchy")]
    [InlineData("textDocument/linkedEditingRange")]
    public async Task A_position_past_the_end_is_the_end(string method)
    {
        var server = shared.Server;
        server.Open(Uri, "rig \"Quay\"\nunit desk : Desk48");

        foreach (var (line, character) in new (uint, uint)[] { (0, 4_000_000_000), (99, 0), (4_000_000_000, 4_000_000_000), (1, 18) })
        {
            var answer = await server.Ask(method, new JsonObject
            {
                ["textDocument"] = new JsonObject { ["uri"] = Uri },
                ["position"] = new JsonObject { ["line"] = line, ["character"] = character },
            });
            answer["error"].Should().BeNull();
        }
        server.Close(Uri);
    }

    [Theory]
    [InlineData("textDocument/hover")]
    [InlineData("textDocument/documentSymbol")]
    [InlineData("textDocument/formatting")]
    [InlineData("textDocument/semanticTokens/full")]
    [InlineData("textDocument/codeLens")]
    [InlineData("textDocument/foldingRange")]
    public async Task A_document_that_is_not_open_has_no_answer(string method)
    {
        var answer = await shared.Server.Ask(method, new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = "untitled:nowhere" },
            ["position"] = new JsonObject { ["line"] = 0, ["character"] = 0 },
        });
        answer["error"].Should().BeNull();
        answer["result"].Should().BeNull();
    }

    [Fact]
    public async Task Versions_out_of_order_change_nothing_about_the_text()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Open(Uri, "rate 48 kHz\n", version: 5);
        server.Change(Uri, 3, 1, 0, 1, 0, "rate 96 kHz\n");

        (await server.Findings(Uri, 3)).Should().Equal("PL0202 2:1");
    }

    [Fact]
    public async Task A_zero_in_the_name_of_a_document_is_no_file_s()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Open("file:///quay%00.rig", "rat 48 kHz\n");

        (await server.Findings("file:///quay%00.rig")).Should().Equal("PL0102 1:1");
    }

    [Fact]
    public async Task A_file_that_is_renamed_twice_at_once_is_answered_once()
    {
        folder.With("quay.rig", "rig \"Quay\"\nuse \"gear.rig\"\n").With("gear.rig", "");
        using var server = await ServerProcess.Start(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), "rig \"Quay\"\nuse \"gear.rig\"\n");
        var file = new JsonObject { ["oldUri"] = folder.UriOf("gear.rig"), ["newUri"] = folder.UriOf("boxes.rig") };

        var answer = await server.Ask("workspace/willRenameFiles", new JsonObject { ["files"] = new JsonArray(file, file.DeepClone()) });

        answer["result"]!.ToJsonString().Should().Contain("boxes.rig");
    }

    [Fact]
    public async Task A_change_of_what_is_not_open_is_passed_over()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Change("untitled:nowhere", 2, 0, 0, 0, 0, "rat");
        server.Close("untitled:nowhere");
        server.Open(Uri, "rat 48 kHz\n");

        (await server.Findings(Uri)).Should().Equal("PL0102 1:1");
    }

    [Fact]
    public async Task A_document_of_50_MB_is_kept_and_not_looked_at_and_others_work_on()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Open("untitled:large", new string('/', 50 << 20));
        var published = await server.Told("textDocument/publishDiagnostics", p => (string?)p["uri"] == "untitled:large");
        ((string?)published["diagnostics"]![0]!["message"]).Should().Be("The document has 50 million characters, where 32 million are the most: it is not looked at.");

        server.Open(Uri, "rat 48 kHz\n");
        (await server.Findings(Uri)).Should().Equal("PL0102 1:1");
        server.Tell("textDocument/didChange", new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = "untitled:large", ["version"] = 2 },
            ["contentChanges"] = new JsonArray(new JsonObject { ["text"] = "rate 48 kHz\n" }),
        });
        (await server.Findings("untitled:large", 2)).Should().BeEmpty();
    }

    [Fact]
    public async Task Ten_thousand_edits_in_a_burst_end_with_the_last_one_s_findings()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Open(Uri, "rig \"Quay\"\n", version: 0);
        const int count = 10_000;
        for (var i = 1; i <= count; i++) server.Change(Uri, i, 1, 0, 1, 0, i == count ? "rate 48 kHz\nrate 96 kHz\n" : "// remark\n");

        (await server.Findings(Uri, count)).Should().Equal("PL0202 3:1");
    }

    [Fact]
    public async Task A_file_that_is_deleted_under_the_server_stays_as_the_client_has_it()
    {
        folder.With("quay.rig", "rig \"Quay\"\n");
        using var server = await ServerProcess.Start(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), "rig \"Quay\"\n");
        (await server.Findings(folder.UriOf("quay.rig"), 1)).Should().BeEmpty();
        File.Delete(folder.PathOf("quay.rig"));
        server.Tell("workspace/didChangeWatchedFiles", new JsonObject { ["changes"] = new JsonArray(new JsonObject { ["uri"] = folder.UriOf("quay.rig"), ["type"] = 3 }) });
        server.Change(folder.UriOf("quay.rig"), 2, 1, 0, 1, 0, "rate 48\n");

        (await server.Findings(folder.UriOf("quay.rig"), 2)).Should().Equal("PL0107 2:6");
    }

    [Fact]
    public async Task A_request_that_is_cancelled_is_answered_as_cancelled_or_with_its_result()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Open(Uri, string.Concat(Enumerable.Range(0, 20_000).Select(i => $"loom way{i} : 12 ways 15 m\n")));
        var id = server.Send("textDocument/hover", new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = Uri }, ["position"] = new JsonObject { ["line"] = 0, ["character"] = 6 } });
        server.Tell("$/cancelRequest", new JsonObject { ["id"] = id });

        ((int?)(await server.Answer(id))["error"]?["code"] ?? -32800).Should().Be(-32800);
    }

    [Fact]
    public async Task Messages_in_pieces_and_several_at_once_are_read_alike()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        var message = Encoding.UTF8.GetBytes("""{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":"untitled:quay","languageId":"rig","version":1,"text":"rat 48 kHz\n"}}}""");
        byte[] whole = [.. Encoding.ASCII.GetBytes($"Content-Length: {message.Length}\r\nContent-Type: application/vscode-jsonrpc; charset=utf-8\r\n\r\n"), .. message];
        foreach (var each in whole) server.WriteBytes([each]);

        (await server.Findings(Uri)).Should().Equal("PL0102 1:1");
    }
}
