using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Plays every scenario over the real process, and once more with a client that can do little; with <c>PATCHLANG_ACCEPT=1</c> the answers that come are written down.</summary>
public sealed class ScenarioTests
{
    private static readonly bool Accepts = Environment.GetEnvironmentVariable("PATCHLANG_ACCEPT") == "1";

    public static TheoryData<string> Archives => [.. Directory.GetFiles(Scenario.Folder, "*.scenarios").Select(f => Path.GetFileName(f)).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Archives))]
    public async Task Every_question_gets_the_answer_that_stands_under_it(string archive)
    {
        var expected = Scenario.In(archive);
        using var server = ServerProcess.Start();
        var played = await Play(server, expected, Clients.Pulling);
        if (Accepts) Scenario.Write(archive, played);
        else
            foreach (var (before, after) in expected.Zip(played))
                foreach (var (asked, answered) in before.Steps.Zip(after.Steps))
                    answered.Body.Should().Be(asked.Body, "{0}: {1} {2}", before.Title, asked.Word, asked.Argument);
    }

    [Theory]
    [MemberData(nameof(Archives))]
    public async Task A_client_that_supports_nothing_optional_gets_an_answer_to_every_question(string archive)
    {
        using var server = ServerProcess.StartForAnswers();
        foreach (var scenario in await Play(server, Scenario.In(archive), Clients.Plain))
            foreach (var step in scenario.Steps.Where(s => s.Word == "ask"))
                step.Body.Should().NotStartWith("refused -326", "{0}: {1}", scenario.Title, step.Argument);
    }

    private static async Task<List<Scenario>> Play(ServerProcess server, IReadOnlyList<Scenario> scenarios, JsonObject capabilities)
    {
        using var folder = new Folder();
        var result = await server.Initialize(capabilities, folder.FullPath);
        var legend = result["capabilities"]!["semanticTokensProvider"]!["legend"]!["tokenTypes"]!.AsArray();
        var played = new List<Scenario>();
        foreach (var scenario in scenarios) played.Add(await new ScenarioRunner(server, folder, legend, $"s{played.Count}").Play(scenario));
        (await server.Leave()).Should().Be(0);
        return played;
    }
}
