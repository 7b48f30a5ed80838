using System.Text.Json.Nodes;
using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>The shipped library and the pages behind findings, for clients that can ask for documents and for those that can't.</summary>
public sealed class ShippedDocumentTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        rate 48 kHz
        use "library/stage.rig"
        unit rack : StageRack(16, 8)
        feed lead : rack.mic[17] -> rack.net[1]
        """;

    private readonly Folder folder = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public async Task A_client_that_can_ask_for_documents_is_led_to_one_of_its_own_scheme()
    {
        using var server = await Opened(Clients.Full);

        var uri = await DefinitionOfGear(server);
        uri.Should().Be("patchlang:/library/stage.rig");
        var content = await server.Ask("workspace/textDocumentContent", new JsonObject { ["uri"] = uri });
        ((string?)content["result"]!["text"]).Should().Be(Library);
    }

    [Fact]
    public async Task Another_is_led_to_a_file_that_nobody_writes_to()
    {
        using var server = await Opened(Clients.Plain);

        var path = new Uri(await DefinitionOfGear(server)).LocalPath;
        path.Should().StartWith(UserFoldersOfTests.Cache).And.EndWith("library/stage.rig");
        (await File.ReadAllTextAsync(path)).Should().Be(Library);
        File.GetAttributes(path).Should().HaveFlag(FileAttributes.ReadOnly);
        Directory.GetFiles(Path.GetDirectoryName(path)!).Should().OnlyContain(f => f.EndsWith(".rig"), "what is written beside is renamed");
    }

    [Fact]
    public async Task That_file_is_known_as_the_library_when_it_is_opened()
    {
        using var server = await Opened(Clients.Plain);
        var uri = await DefinitionOfGear(server);
        server.Open(uri, Library);

        (await server.Findings(uri)).Should().BeEmpty();
        var references = (await server.Ask("textDocument/references", At(uri, LineOfGear, "gear ".Length, new JsonObject { ["includeDeclaration"] = false })))["result"]!.AsArray();
        references.Select(r => (string?)r!["uri"]).Should().Equal(folder.UriOf("quay.rig"));
        server.Close(uri);
        (await server.Leave()).Should().Be(0);
    }

    [Fact]
    public async Task A_copy_that_somebody_changed_is_written_anew_by_the_next_server()
    {
        using var first = await Opened(Clients.Plain);
        var path = new Uri(await DefinitionOfGear(first)).LocalPath;
        File.SetAttributes(path, FileAttributes.Normal);
        await File.WriteAllTextAsync(path, "gear Other \"other\" { }\n");

        using var second = await Opened(Clients.Plain);
        await DefinitionOfGear(second);
        (await File.ReadAllTextAsync(path)).Should().Be(Library);
    }

    [Fact]
    public async Task Where_no_copy_can_be_written_the_own_scheme_is_left()
    {
        using var server = ServerProcess.Start(("XDG_CACHE_HOME", folder.With("file", "").PathOf("file")));
        await server.Initialize(Clients.Plain, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Plan);

        (await DefinitionOfGear(server)).Should().Be("patchlang:/library/stage.rig");
    }

    [Fact]
    public async Task The_page_behind_a_code_and_the_link_behind_use_are_files_too()
    {
        var client = Clients.Full;
        client["workspace"]!.AsObject().Remove("textDocumentContent");
        using var server = await Opened(client);

        var published = await server.Told("textDocument/publishDiagnostics");
        var page = new Uri((string)published["diagnostics"]!.AsArray().First(d => (string?)d!["code"] == "PL0301")!["codeDescription"]!["href"]!).LocalPath;
        (await File.ReadAllTextAsync(page)).Should().Be(FindingPages.Of(FindingCatalogue.Find("PL0301")!));

        var links = (await server.Ask("textDocument/documentLink", new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = folder.UriOf("quay.rig") } }))["result"]!;
        (await File.ReadAllTextAsync(new Uri((string)links[0]!["target"]!).LocalPath)).Should().Be(Library);
    }

    private static string Library => ShippedLibrary.Find("library/stage.rig")!.Source.Content;

    private static int LineOfGear => Library.Split('\n').ToList().FindIndex(l => l.StartsWith("gear StageRack", StringComparison.Ordinal));

    private static JsonObject At(string uri, int line, int character, JsonObject? context = null)
    {
        var at = new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = uri }, ["position"] = new JsonObject { ["line"] = line, ["character"] = character } };
        if (context is not null) at["context"] = context;
        return at;
    }

    private async Task<ServerProcess> Opened(JsonObject client)
    {
        var server = await ServerProcess.Start(client, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Plan);
        return server;
    }

    private async Task<string> DefinitionOfGear(ServerProcess server)
    {
        var target = (await server.Ask("textDocument/definition", At(folder.UriOf("quay.rig"), 3, "unit rack : ".Length)))["result"]![0]!;
        return (string)(target["targetUri"] ?? target["uri"])!;
    }
}
