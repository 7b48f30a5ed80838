using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Long work is told of, short work is not; what a client wants to hear of requests changes no answer.</summary>
public sealed class ProgressTests
{
    private const string Uri = "untitled:quay";

    private static readonly string Large = string.Concat(Enumerable.Range(0, 60_000).Select(i => $"loom way{i} \"Way {i}\" : 12 ways 15 m\n"));

    [Fact]
    public async Task A_large_plan_is_told_of_while_it_is_read()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling);
        server.Open(Uri, Large);

        var token = (string?)(await server.Told("window/workDoneProgress/create"))["token"];
        var begin = await server.Told("$/progress");
        ((string?)begin["token"]).Should().Be(token);
        ((string?)begin["value"]!["kind"]).Should().Be("begin");
        ((string?)begin["value"]!["title"]).Should().StartWith("Reading ");
        var end = await server.Told("$/progress");
        ((string?)end["token"]).Should().Be(token);
        ((string?)end["value"]!["kind"]).Should().Be("end");
    }

    [Fact]
    public async Task A_client_that_shows_nothing_of_it_and_a_small_plan_hear_nothing()
    {
        using var plain = await ServerProcess.StartForAnswers(Clients.Plain);
        plain.Open(Uri, Large);
        await plain.Findings(Uri);
        plain.HasTold("window/workDoneProgress/create").Should().BeFalse();

        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open(Uri, "rig \"Lantern Quay\"\n");
        await server.Findings(Uri);
        server.HasTold("window/workDoneProgress/create").Should().BeFalse();
    }

    [Fact]
    public async Task Tokens_for_progress_and_partial_results_are_passed_over()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open(Uri, "rig \"Lantern Quay\"\nact tide\n");

        var answer = await server.Ask("textDocument/documentSymbol", new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = Uri }, ["workDoneToken"] = 7, ["partialResultToken"] = "part" });
        answer["result"]!.AsArray().Should().HaveCount(2);
        server.HasTold("$/progress").Should().BeFalse();
    }
}
