using System.Text;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What must hold after any number of edits.</summary>
public sealed class EndlessTests
{
    private const string Uri = "untitled:quay";

    private static readonly string[] Pieces =
    [
        "rate 48 kHz\n", "unit box", "feed lead : box.a[1] -> ear.a[1]\n", "\n", " ", "[1..3]", "\"", "}", "{ ", "/*", "*/", "// ", "->", "sum(lead, ", "é𝄞", "\r\n", "gear Box { out a[4] : line }\n",
        "format line { joins shared }\n", "unit ear : Ear\n", "gear Ear { in a[4] : line { recorder } }\n", "during tide", "act tide\n", "expect lead hears lead\n", "allow PL0301 \"why\"\n", "1", "x",
    ];

    /// <summary>So many edits; <c>PATCHLANG_EDITS</c> asks for more, for a long run.</summary>
    private static readonly int Count = int.Parse(Environment.GetEnvironmentVariable("PATCHLANG_EDITS") ?? "400", System.Globalization.CultureInfo.InvariantCulture);

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public async Task Random_edits_end_with_the_findings_of_a_fresh_start(int seed)
    {
        var random = new Random(seed);
        using var server = await ServerProcess.Start(Clients.Pulling);
        var text = new StringBuilder("rig \"Quay\"\n");
        server.Open(Uri, text.ToString(), version: 0);
        for (var version = 1; version <= Count; version++)
        {
            var start = random.Next(text.Length + 1);
            var length = random.Next(4) == 0 ? Math.Min(random.Next(20), text.Length - start) : 0;
            // An edit never cuts a pair of surrogates, nor stands inside a line break.
            if (IsInside(text, start) || IsInside(text, start + length)) continue;
            var piece = random.Next(3) == 0 && length > 0 ? "" : Pieces[random.Next(Pieces.Length)];
            var (line, character) = PlaceOf(text, start);
            var (endLine, endCharacter) = PlaceOf(text, start + length);
            server.Change(Uri, version, line, character, endLine, endCharacter, piece);
            text.Remove(start, length).Insert(start, piece);
            // Now and then a question in between, whose answer does not matter here.
            if (random.Next(5) == 0) server.Send("textDocument/completion", Position(line, character));
            if (random.Next(9) == 0) server.Send("textDocument/semanticTokens/full", Document(Uri));
        }
        var edited = await server.Ask("textDocument/diagnostic", Document(Uri));

        using var fresh = await ServerProcess.Start(Clients.Pulling);
        fresh.Open(Uri, text.ToString());
        var whole = await fresh.Ask("textDocument/diagnostic", Document(Uri));
        edited["result"]!["items"]!.ToJsonString().Should().Be(whole["result"]!["items"]!.ToJsonString());
    }

    [Fact]
    public async Task Memory_stays_where_it_was_over_many_edits_and_comes_back_when_documents_close()
    {
        using var server = await ServerProcess.Start(Clients.Pulling);
        var lines = string.Concat(Enumerable.Range(0, 5_000).Select(i => $"loom way{i} \"Way {i}\" : 12 ways 15 m\n"));
        async Task<long> Memory()
        {
            await server.Ask("textDocument/diagnostic", Document(Uri));
            server.Process.Refresh();
            return server.Process.WorkingSet64 >> 20;
        }

        async Task Edit(int count, int version)
        {
            for (var i = 0; i < count; i++)
            {
                server.Change(Uri, version + i, i % 5_000, 5, i % 5_000, 5, "x");
                if (i % 20 == 0) await server.Ask("textDocument/documentSymbol", Document(Uri));
            }
        }

        server.Open(Uri, lines, version: 0);
        await Edit(200, 1);
        var before = await Memory();
        await Edit(2_000, 201);
        (await Memory()).Should().BeLessThan(2 * before + 40, "two thousand edits leave nothing behind");

        server.Close(Uri);
        await server.Ask("textDocument/diagnostic", Document(Uri));
        await server.Ask("workspace/symbol", new JsonObject { ["query"] = "" });
        server.Process.Refresh();
        (server.Process.WorkingSet64 >> 20).Should().BeLessThan(before, "what was open is let go");
    }

    private static bool IsInside(StringBuilder text, int offset) =>
        offset > 0 && offset < text.Length && (char.IsLowSurrogate(text[offset]) || (text[offset - 1] == '\r' && text[offset] == '\n'));

    private static (int Line, int Character) PlaceOf(StringBuilder text, int offset)
    {
        var (line, start) = (0, 0);
        for (var i = 0; i < offset; i++)
            if (text[i] == '\n' || (text[i] == '\r' && (i + 1 == text.Length || text[i + 1] != '\n'))) (line, start) = (line + 1, i + 1);
        return (line, offset - start);
    }

    private static JsonObject Document(string uri) => new() { ["textDocument"] = new JsonObject { ["uri"] = uri } };

    private static JsonObject Position(int line, int character)
    {
        var parameters = Document(Uri);
        parameters["position"] = new JsonObject { ["line"] = line, ["character"] = character };
        return parameters;
    }
}
