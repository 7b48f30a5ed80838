using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Which plan a document belongs to, and how its findings follow what the client does.</summary>
public sealed class PlanTests : IDisposable
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

    private readonly Folder folder = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public async Task Findings_come_with_the_version_their_page_and_their_related_places()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), "rig \"Lantern Quay\"\nrate 48 kHz\nrate 96 kHz\n", version: 7);

        var published = await server.Told("textDocument/publishDiagnostics");
        ((int?)published["version"]).Should().Be(7);
        var finding = published["diagnostics"]![0]!;
        ((string?)finding["source"]).Should().Be("patchlang");
        ((int?)finding["severity"]).Should().Be(1);
        ((string?)finding["relatedInformation"]![0]!["message"]).Should().Be("first here");
        var page = await server.Ask("workspace/textDocumentContent", new JsonObject { ["uri"] = (string?)finding["codeDescription"]!["href"] });
        ((string?)page["result"]!["text"]).Should().StartWith($"# {finding["code"]}");
    }

    [Fact]
    public async Task A_plain_client_gets_plain_findings()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Plain);
        server.Open(folder.UriOf("quay.rig"), "rig \"Lantern Quay\"\nrate 48 kHz\nrate 96 kHz\n");

        var published = await server.Told("textDocument/publishDiagnostics");
        published["diagnostics"]![0]!.AsObject().Select(p => p.Key).Should().BeEquivalentTo("range", "message", "severity", "code", "source");
    }

    [Fact]
    public async Task What_is_never_used_is_faded()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open(folder.UriOf("quay.rig"), "rig \"Lantern Quay\"\nloom red : 12 ways 15 m\n");

        var published = await server.Told("textDocument/publishDiagnostics");
        ((string?)published["diagnostics"]![0]!["code"]).Should().Be("PL1101");
        ((int?)published["diagnostics"]![0]!["tags"]![0]).Should().Be(1);
    }

    [Fact]
    public async Task A_file_of_a_plan_is_checked_as_part_of_it()
    {
        folder.With("quay.rig", Root).With("gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);

        server.Open(folder.UriOf("gear.rig"), Equipment.Replace("gear Ear", "gear Eer"));
        (await server.Findings(folder.UriOf("quay.rig"))).Should().ContainSingle().Which.Should().Be("PL0201 4:12");
        (await server.Findings(folder.UriOf("gear.rig"))).Should().BeEmpty();
    }

    [Fact]
    public async Task A_file_that_nobody_uses_is_a_plan_by_itself()
    {
        folder.With("quay.rig", "rig \"Lantern Quay\"\n");
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);

        server.Open(folder.UriOf("lone.rig"), "unit box : Bix\n");
        (await server.Findings(folder.UriOf("lone.rig"))).Should().Equal("PL0201 1:12");
    }

    [Fact]
    public async Task A_root_may_lie_in_a_folder_above_up_to_the_one_that_is_open()
    {
        folder.With("day/quay.rig", "rig \"Lantern Quay\"\nuse \"parts/gear.rig\"\nunit box : Box\n").With("day/parts/gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);

        server.Open(folder.UriOf("day/parts/gear.rig"), Equipment.Replace("gear Box", "gear Bix"));
        (await server.Findings(folder.UriOf("day/quay.rig"))).Should().Contain("PL0201 3:12");
    }

    [Fact]
    public async Task Two_roots_that_use_a_file_both_check_it_and_both_are_heard()
    {
        folder.With("one.rig", "rig \"One\"\nuse \"gear.rig\"\nunit box : Bix\n").With("two.rig", "rig \"Two\"\nuse \"gear.rig\"\nunit ear : Eer\n").With("gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);

        server.Open(folder.UriOf("gear.rig"), Equipment);
        (await server.Findings(folder.UriOf("one.rig"))).Should().Contain("PL0201 3:12");
        (await server.Findings(folder.UriOf("two.rig"))).Should().Contain("PL0201 3:12");
    }

    [Fact]
    public async Task Findings_of_other_files_go_when_the_last_document_of_the_plan_is_closed()
    {
        folder.With("quay.rig", Root.Replace(": Ear", ": Eer")).With("gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("gear.rig"), Equipment);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().NotBeEmpty();

        server.Close(folder.UriOf("gear.rig"));
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();
    }

    [Fact]
    public async Task A_text_that_is_closed_unsaved_is_the_disk_s_again()
    {
        folder.With("quay.rig", Root).With("gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();
        server.Open(folder.UriOf("gear.rig"), Equipment.Replace("gear Ear", "gear Eer"));
        (await server.Findings(folder.UriOf("quay.rig"))).Should().Equal("PL0201 4:12");

        server.Close(folder.UriOf("gear.rig"));
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();
    }

    [Fact]
    public async Task A_file_that_changes_comes_or_goes_on_the_disk_is_read_again()
    {
        folder.With("quay.rig", Root);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().Equal("PL0205 2:5");

        folder.With("gear.rig", Equipment);
        Watched(server, "gear.rig", 1);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();

        folder.With("gear.rig", Equipment.Replace("gear Ear", "gear Eer"));
        Watched(server, "gear.rig", 2);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().Equal("PL0201 4:12");

        File.Delete(folder.PathOf("gear.rig"));
        Watched(server, "gear.rig", 3);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().Equal("PL0205 2:5");
    }

    [Fact]
    public async Task A_file_that_was_no_text_is_read_again_when_it_is_mended()
    {
        File.WriteAllBytes(folder.PathOf("gear.rig"), [0xFF, 0xFE, .. System.Text.Encoding.Unicode.GetBytes(Equipment)]);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().Equal("PL0110 2:5");

        folder.With("gear.rig", Equipment);
        Watched(server, "gear.rig", 2);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();
    }

    /// <summary>Some clients watch no files.</summary>
    [Fact]
    public async Task A_use_finds_a_file_that_was_made_since_the_plan_was_opened()
    {
        folder.With("gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();

        folder.With("more.rig", "unit spare : Box\n");
        server.Change(folder.UriOf("quay.rig"), 2, 2, 0, 2, 0, "use \"more.rig\"\n");
        (await server.Findings(folder.UriOf("quay.rig"), 2)).Should().NotContain(f => f.StartsWith("PL0205", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_root_that_was_never_saved_is_gone_when_it_is_closed()
    {
        folder.With("gear.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("gear.rig"), Equipment);
        server.Open(folder.UriOf("quay.rig"), Root.Replace(": Ear", ": Eer"));
        (await server.Findings(folder.UriOf("quay.rig"))).Should().NotBeEmpty();

        server.Close(folder.UriOf("quay.rig"));
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();
    }

    [Theory]
    [InlineData("file:///c%3A/plans/quay.rig", "file:///c:/plans/quay.rig")]
    [InlineData("file:///C%3a/plans/a%3Ab.rig", "file:///C:/plans/a%3Ab.rig")]
    [InlineData("file:///plans/c%3A/quay.rig", "file:///plans/c%3A/quay.rig")]
    public void The_colon_of_a_drive_may_be_escaped(string uri, string expected) => Documents.DocumentUri.WithPlainDrive(uri).Should().Be(expected);

    [Fact]
    public async Task A_file_that_was_never_saved_is_found_by_the_plan_that_uses_it()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Root);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().Equal("PL0205 2:5");

        server.Open(folder.UriOf("gear.rig"), Equipment);
        (await server.Findings(folder.UriOf("quay.rig"))).Should().BeEmpty();
    }

    [Theory]
    [InlineData("quay.rig", "gear.rig")]
    [InlineData("gear.rig", "quay.rig")]
    public async Task The_order_in_which_documents_are_opened_is_of_no_account(string first, string second)
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling, folder.FullPath);
        var texts = new Dictionary<string, string> { ["quay.rig"] = Root.Replace("rig \"Lantern Quay\"", "rate 48 kHz", StringComparison.Ordinal), ["gear.rig"] = Equipment };
        foreach (var name in (string[])[first, second]) server.Open(folder.UriOf(name), texts[name]);

        var status = await server.Ask("patchlang/status", new JsonObject { ["uri"] = folder.UriOf("gear.rig") });
        ((string?)status["result"]!["plan"]).Should().Be(folder.UriOf("quay.rig"));
    }

    [Fact]
    public async Task A_plan_reaches_no_file_outside_of_its_folder()
    {
        folder.With("plans/quay.rig", "rig \"Lantern Quay\"\nuse \"../secret.rig\"\n").With("secret.rig", Equipment);
        using var server = await ServerProcess.StartForAnswers(Clients.Full, folder.FullPath);

        server.Open(folder.UriOf("plans/quay.rig"), "rig \"Lantern Quay\"\nuse \"../secret.rig\"\n");
        (await server.Findings(folder.UriOf("plans/quay.rig"))).Should().Equal("PL0206 2:5");
    }

    [Fact]
    public async Task A_document_that_is_no_file_is_a_plan_by_itself()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open("untitled:Untitled-1", "rig \"Lantern Quay\"\nuse \"library/desks.rig\"\nunit desk : Desk49\n");

        (await server.Findings("untitled:Untitled-1")).Should().Contain("PL0201 3:13");
    }

    [Fact]
    public async Task A_client_that_asks_gets_findings_when_it_asks_and_word_that_they_are_as_they_were()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling, folder.FullPath);
        var uri = folder.UriOf("quay.rig");
        server.Open(uri, "rate 48 kHz\nrate 96 kHz\n");

        var first = await server.Ask("textDocument/diagnostic", Document(uri));
        ((string?)first["result"]!["kind"]).Should().Be("full");
        ServerProcess.Codes(first["result"]!.AsObject()).Should().Equal("PL0202 2:1");
        var again = Document(uri);
        again["previousResultId"] = (string?)first["result"]!["resultId"];
        ((string?)(await server.Ask("textDocument/diagnostic", again))["result"]!["kind"]).Should().Be("unchanged");
    }

    private void Watched(ServerProcess server, string name, int type) => server.Tell("workspace/didChangeWatchedFiles", new JsonObject
    {
        ["changes"] = new JsonArray(new JsonObject { ["uri"] = folder.UriOf(name), ["type"] = type }),
    });

    private static JsonObject Document(string uri) => new() { ["textDocument"] = new JsonObject { ["uri"] = uri } };
}
