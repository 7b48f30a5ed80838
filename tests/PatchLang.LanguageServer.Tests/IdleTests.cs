using System.Globalization;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>A server to which nothing is said does nothing.</summary>
public sealed class IdleTests
{
    private const string Uri = "untitled:quay";

    /// <summary>What a second of watching for the client's end may take.</summary>
    private static readonly TimeSpan Little = TimeSpan.FromMilliseconds(20);

    // The runtime goes on compiling for some seconds where the program is not native, and memory is given back once.
    private const int MostSeconds = 60;

    [Fact]
    public async Task When_all_is_answered_no_more_processor_time_goes_by()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Open(Uri, string.Concat(Enumerable.Range(0, 2_000).Select(i => string.Create(CultureInfo.InvariantCulture, $"loom way{i} \"Way {i}\" : 12 ways 15 m\n"))), version: 0);
        for (var version = 1; version < 50; version++) server.Change(Uri, version, version, 5, version, 5, "x");
        await server.Ask("textDocument/hover", new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = Uri },
            ["position"] = new JsonObject { ["line"] = 0, ["character"] = 6 },
        });

        var isIdle = false;
        for (var second = 0; second < MostSeconds && !isIdle; second++)
        {
            var before = Used();
            await Task.Delay(TimeSpan.FromSeconds(1));
            isIdle = Used() - before < Little;
        }
        isIdle.Should().BeTrue("nothing is asked of the server");
        var idle = Used();
        await Task.Delay(TimeSpan.FromSeconds(3));
        (Used() - idle).Should().BeLessThan(3 * Little, "it stays idle");

        TimeSpan Used()
        {
            server.Process.Refresh();
            return server.Process.TotalProcessorTime;
        }
    }
}
