using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What the protocol has no words for: promises as data, how a plan stands, and word of what changed.</summary>
public sealed class OwnRequestTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        rate 44.1 kHz
        use "library/desks.rig"
        use "library/stage.rig"
        unit rack : StageRack(16, 8)
        unit desk : Desk48 { expansion = NetCard(32) }
        use "library/cards.rig"
        network stage : aes67 { join rack.net, desk.expansion.net  latency 1 ms }
        timekeeper desk
        follow desk.expansion from host
        follow rack from net
        feed lead : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1]
        feed choir : rack.mic[2] -> desk.expansion.net[2] -> desk.ch[2]
        expect lead never hears choir
        expect desk.expansion.net spare in >= 8
        expect desk.ch[1] hears choir

        """;

    private readonly Folder folder = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public async Task Every_promise_comes_with_its_place_its_state_its_figure_and_a_sentence()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling, folder.FullPath);
        var uri = folder.UriOf("quay.rig");
        server.Open(uri, Plan);

        var results = (await server.Ask("patchlang/expectations", new JsonObject { ["uri"] = uri }))["result"]!.AsArray();
        results.Select(r => $"{(int)r!["range"]!["start"]!["line"]! + 1} {r["name"]}: {r["state"]} {r["figure"]}").Should().Equal(
            "14 expect lead never hears choir: held ", "15 expect desk.expansion.net spare in >= 8: held 30 spare", "16 expect desk.ch[1] hears choir: broken ");
        results.Should().OnlyContain(r => (string?)r!["uri"] == uri && (string?)r["plan"] == uri);
        ((string?)results[2]!["code"]).Should().Be("PL1001");
        ((string?)results[2]!["message"]).Should().Contain("choir");
        results[0]!["message"].Should().BeNull();
    }

    [Fact]
    public async Task Promises_of_all_plans_are_told_without_a_document_and_none_of_a_document_that_is_unknown()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling, folder.FullPath);
        server.Open(folder.UriOf("quay.rig"), Plan);
        server.Open(folder.UriOf("other.rig"), Plan.Replace("lead", "voice", StringComparison.Ordinal));

        (await server.Ask("patchlang/expectations", new JsonObject()))["result"]!.AsArray().Should().HaveCount(6);
        (await server.Ask("patchlang/expectations", new JsonObject { ["uri"] = "untitled:nowhere" }))["result"]!.AsArray().Should().BeEmpty();
    }

    [Fact]
    public async Task The_command_above_a_promise_says_what_came_of_it()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling, folder.FullPath);
        var uri = folder.UriOf("quay.rig");
        server.Open(uri, Plan);

        var lenses = (await server.Ask("textDocument/codeLens", new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = uri } }))["result"]!.AsArray();
        var command = lenses.Select(l => l!["command"]!).Single(c => (string?)c["title"] == "held: 30 spare");
        var run = await server.Ask("workspace/executeCommand", command.DeepClone());
        run["result"]!.AsArray().Should().ContainSingle().Which!["state"]!.GetValue<string>().Should().Be("held");
        var said = await server.Told("window/showMessage");
        ((string?)said["message"]).Should().Be("expect desk.expansion.net spare in >= 8: held, 30 spare");
        ((int?)said["type"]).Should().Be(3);

        await server.Ask("workspace/executeCommand", new JsonObject { ["command"] = "patchlang.runExpectations" });
        ((string?)(await server.Told("window/showMessage"))["message"]).Should().StartWith("Of 3 promises 2 held, 1 broken. expect desk.ch[1] hears choir: ");
        (await server.Ask("workspace/executeCommand", new JsonObject { ["command"] = "patchlang.foresee" }))["error"]!["code"]!.GetValue<int>().Should().Be(-32602);
    }

    [Fact]
    public async Task How_a_plan_stands_is_told_in_figures()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling, folder.FullPath);
        var uri = folder.UriOf("quay.rig");
        server.Open(uri, Plan);

        var status = (await server.Ask("patchlang/status", new JsonObject { ["uri"] = uri }))["result"]!;
        ((string?)status["plan"]).Should().Be(uri);
        ((string?)status["title"]).Should().Be("Lantern Quay");
        ((double?)status["rate"]).Should().Be(44_100);
        status["timekeepers"]!.AsArray().Select(t => (string?)t).Should().Equal("desk");
        status["leaders"]!.AsArray().Select(t => (string?)t).Should().Equal("desk");
        ((int?)status["errors"]).Should().Be(1, "one promise is broken");
        (await server.Ask("patchlang/status", new JsonObject { ["uri"] = "untitled:nowhere" }))["result"].Should().BeNull();
    }

    [Fact]
    public async Task A_client_that_wishes_so_hears_which_plans_changed_and_no_other_does()
    {
        using var server = ServerProcess.StartForAnswers();
        await server.Ask("initialize", new JsonObject { ["processId"] = Environment.ProcessId, ["capabilities"] = Clients.Pulling, ["initializationOptions"] = new JsonObject { ["changes"] = true } });
        var uri = folder.UriOf("quay.rig");
        server.Open(uri, Plan);
        (await server.Told("patchlang/changed"))["plans"]!.AsArray().Select(p => (string?)p).Should().Equal(uri);
        server.Change(uri, 2, 0, 5, 0, 5, "x");
        (await server.Told("patchlang/changed"))["plans"]!.AsArray().Select(p => (string?)p).Should().Equal(uri);

        using var other = ServerProcess.StartForAnswers();
        await other.Ask("initialize", new JsonObject { ["processId"] = Environment.ProcessId, ["capabilities"] = Clients.Full, ["initializationOptions"] = "anything" });
        other.Open(uri, Plan);
        await other.Findings(uri, 1);
        other.HasTold("patchlang/changed").Should().BeFalse();
    }
}
