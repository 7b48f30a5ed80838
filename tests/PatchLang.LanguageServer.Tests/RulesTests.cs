using System.Runtime.CompilerServices;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>House rules in the editor: run where the folder is trusted and the user has turned them on, and nowhere else.</summary>
public sealed class RulesTests : IDisposable
{
    private const string Plan = """
        format line { joins point_to_point  way one  time none }
        gear Player   { out play[2] : line }
        gear Recorder { in track[2] : line { recorder } }
        unit player   : Player
        unit recorder : Recorder
        cable player.play -> recorder.track : 5 m
        feed song : player.play[1] -> recorder.track[1]

        """;

    private readonly Folder folder = new Folder()
        .With("pier.rig", Plan)
        .With(".patchlang-rules", "labels.csx\n")
        .With("labels.csx", """
            // rule: labels
            foreach (var feed in Rig.Feeds.Where(f => f.Label is null))
                Finding(feed, $"{feed} has no label", fix: Fix.InsertAfter("call it by its name", feed.Place, $" \"{feed}\""));
            """);

    public void Dispose() => folder.Dispose();

    [ModuleInitializer]
    internal static void Prepare()
    {
        // What is compiled is kept beside that of the other tests, not in the developer's own folder.
        Environment.SetEnvironmentVariable("XDG_CACHE_HOME", Path.Combine(Path.GetTempPath(), "patchlang-scripting-tests", "cache"));
        // The program that runs scripts lies beside `patchlang`; the one that was built for these tests lies in its own folder.
        Environment.SetEnvironmentVariable("PATCHLANG_SCRIPTS", BuiltProgram.Scripts);
    }

    [Fact]
    public async Task What_a_rule_finds_comes_behind_with_its_fix_and_goes_when_the_text_is_mended()
    {
        using var server = await Start(trusted: true, enabled: true);
        var uri = folder.UriOf("pier.rig");
        server.Open(uri, Plan);

        var published = await server.Told("textDocument/publishDiagnostics", p => (string?)p["uri"] == uri && p["diagnostics"]!.AsArray().Count > 0);
        ServerProcess.Codes(published).Should().Equal("PL1202 7:6");
        ((string?)published["diagnostics"]![0]!["message"]).Should().Be("song has no label (rule labels)");
        var actions = await server.Ask("textDocument/codeAction", new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = uri },
            ["range"] = ServerProcess.RangeOf(6, 6, 6, 6),
            ["context"] = new JsonObject { ["diagnostics"] = new JsonArray() },
        });
        actions["result"]!.AsArray().Select(a => (string?)a!["title"]).Should().Equal("call it by its name");

        server.Change(uri, 2, 6, 9, 6, 9, " \"Song\"");
        ServerProcess.Codes(await server.Told("textDocument/publishDiagnostics", p => (string?)p["uri"] == uri && (int?)p["version"] == 2)).Should().BeEmpty();
    }

    [Fact]
    public async Task It_counts_in_how_the_plan_stands_and_is_a_change_that_clients_hear_of()
    {
        using var server = await Start(trusted: true, enabled: true, hearsOfChanges: true);
        var uri = folder.UriOf("pier.rig");
        server.Open(uri, Plan);

        await server.Told("patchlang/changed"); // the plan came
        await server.Told("patchlang/changed"); // a rule looked at it

        ((int?)(await server.Ask("patchlang/status", new JsonObject { ["uri"] = uri }))["result"]!["warnings"]).Should().Be(1);
    }

    [Theory]
    [InlineData(false, true)]
    [InlineData(true, false)]
    public async Task Without_trust_or_the_user_s_wish_none_is_run_until_both_are_told(bool trusted, bool enabled)
    {
        using var server = await Start(trusted, enabled);
        var uri = folder.UriOf("pier.rig");
        server.Open(uri, Plan);
        (await server.Findings(uri, 1)).Should().BeEmpty();
        using (var other = await Start(trusted: true, enabled: true))
        {
            // One that began later and runs them has told; this one would have told before.
            other.Open(uri, Plan);
            await other.Told("textDocument/publishDiagnostics", p => p["diagnostics"]!.AsArray().Count > 0);
        }
        server.HasTold("textDocument/publishDiagnostics").Should().BeFalse();

        server.Tell("workspace/didChangeConfiguration", new JsonObject { ["settings"] = new JsonObject { ["patchlang"] = Rules(true, true) } });

        ServerProcess.Codes(await server.Told("textDocument/publishDiagnostics", p => (string?)p["uri"] == uri && p["diagnostics"]!.AsArray().Count > 0)).Should().Equal("PL1202 7:6");
    }

    [Fact]
    public async Task A_rule_that_can_t_be_read_is_told_in_its_own_document()
    {
        folder.With("labels.csx", "Rig.Nothing();");
        using var server = await Start(trusted: true, enabled: true);
        server.Open(folder.UriOf("pier.rig"), Plan);

        var published = await server.Told("textDocument/publishDiagnostics", p => (string?)p["uri"] == folder.UriOf("labels.csx"));

        ServerProcess.Codes(published).Should().Equal("PL1204 1:5");
    }

    private static JsonObject Rules(bool trusted, bool enabled) => new() { ["rules"] = new JsonObject { ["trusted"] = trusted, ["enabled"] = enabled } };

    private async Task<ServerProcess> Start(bool trusted, bool enabled, bool hearsOfChanges = false)
    {
        var options = Rules(trusted, enabled);
        if (hearsOfChanges) options["changes"] = true;
        var server = ServerProcess.Start();
        await server.Ask("initialize", new JsonObject
        {
            ["processId"] = Environment.ProcessId,
            ["rootUri"] = ServerProcess.UriOf(folder.FullPath),
            ["capabilities"] = Clients.Full,
            ["initializationOptions"] = options,
        });
        server.Tell("initialized", new JsonObject());
        return server;
    }
}
