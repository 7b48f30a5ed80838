using System.Diagnostics;
using System.Globalization;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What a server takes of the machine, in MB as the system counts them: it neither grows with edits nor keeps what was closed.</summary>
public sealed class MemoryTests
{
    private const string Uri = "untitled:quay";

    /// <summary>What is asked of a document, of all of it.</summary>
    private static readonly string[] Asked =
        ["textDocument/diagnostic", "textDocument/documentSymbol", "textDocument/semanticTokens/full", "textDocument/formatting", "textDocument/foldingRange", "textDocument/codeLens"];

    [Fact]
    public async Task Ten_thousand_edits_leave_nothing_behind()
    {
        const int lines = 300;
        const int edits = 10_000;
        const int burst = 20;
        const int warm = 3_000; // by then memory has found its level
        using var server = await Start();
        server.Open(Uri, Looms(lines), version: 0);
        var (before, most) = (0L, 0L);
        for (var version = 1; version <= edits; version++)
        {
            // What one edit types, the next takes away.
            var line = (version - 1) / 2 % lines;
            if (version % 2 == 1) server.Change(Uri, version, line, 5, line, 5, "x");
            else server.Change(Uri, version, line, 5, line, 6, "");
            if (version % burst == 0) await server.Ask("textDocument/diagnostic", Document());
            if (version % 500 != 0) continue;
            await AskAll(server);
            if (version <= warm) before = Math.Max(before, Memory(server));
            else most = Math.Max(most, Memory(server));
        }
        // The text alone has 10 KB: kept of each edit, 70 MB.
        most.Should().BeLessThan(before + 14, "no edit leaves 2 KB behind");
    }

    [Fact]
    public async Task A_large_document_that_is_closed_leaves_the_server_as_it_was_before()
    {
        const int margin = 18; // the runtime keeps some arrays at hand, for what comes next
        using var server = await Start();
        // A small document, so that the code that works is there before, too.
        server.Open(Uri, Looms(200), version: 0);
        await AskAll(server);
        server.Close(Uri);
        var before = await Lowest(server, 0);

        server.Open(Uri, Looms(20_000), version: 0);
        await AskAll(server);
        server.Change(Uri, 1, 1, 5, 1, 5, "x");
        await server.Ask("textDocument/documentSymbol", Document());
        Memory(server).Should().BeGreaterThan(before + 2 * margin, "else there is nothing to come back from");
        server.Close(Uri);
        (await Lowest(server, before + margin)).Should().BeLessThan(before + margin, "what was open is let go");
    }

    /// <summary>A server whose code is made once: what the runtime makes better on the way takes room too, and not for what was edited.</summary>
    private static async Task<ServerProcess> Start()
    {
        var server = ServerProcess.Start(("DOTNET_TieredCompilation", "0"));
        await server.Initialize(Clients.Pulling);
        return server;
    }

    /// <summary>Memory when it is as low as asked, or no longer falls: the server gives it back some seconds after the last change.</summary>
    private static async Task<long> Lowest(ServerProcess server, long enough)
    {
        await server.Ask("textDocument/diagnostic", Document());
        var (lowest, since) = (Memory(server), Stopwatch.StartNew());
        while (lowest >= enough && since.Elapsed < TimeSpan.FromSeconds(4))
        {
            await Task.Delay(100);
            if (Memory(server) is var now && now < lowest) (lowest, since) = (now, Stopwatch.StartNew());
        }
        return lowest;
    }

    private static async Task AskAll(ServerProcess server)
    {
        foreach (var method in Asked)
        {
            var parameters = Document();
            if (method == "textDocument/formatting") parameters["options"] = new JsonObject { ["tabSize"] = 2, ["insertSpaces"] = true };
            await server.Ask(method, parameters);
        }
    }

    private static long Memory(ServerProcess server)
    {
        server.Process.Refresh();
        return server.Process.WorkingSet64 >> 20;
    }

    private static string Looms(int count) =>
        string.Concat(Enumerable.Range(0, count).Select(i => string.Create(CultureInfo.InvariantCulture, $"loom way{i} \"Way {i}\" :  12 ways 15 m\n")));

    private static JsonObject Document() => new() { ["textDocument"] = new JsonObject { ["uri"] = Uri } };
}
