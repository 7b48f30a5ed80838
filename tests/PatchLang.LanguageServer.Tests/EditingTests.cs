using System.Text.Json.Nodes;
using CsCheck;
using FluentAssertions;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>The text that the server works on is the text that the client has.</summary>
public sealed class EditingTests
{
    private static readonly Gen<string> AnyText = Gen.OneOf("a", "é", "𝄞", "\n", "\r\n", "\r", " ", "rate").Array[0, 12].Select(string.Concat);

    private static readonly Gen<(uint Line, uint Character)> AnyPlace = Gen.Select(Gen.UInt[0, 6], Gen.UInt[0, 9]);

    [Fact]
    public void Changes_one_by_one_and_together_give_the_same_text() =>
        Gen.Select(AnyText, Gen.Select(AnyPlace, AnyPlace, AnyText).Array[1, 8], Gen.OneOf(PositionEncoding.Utf8, PositionEncoding.Utf16, PositionEncoding.Utf32)).Sample((start, edits, encoding) =>
        {
            var positions = new PositionMap(encoding);
            var together = new EditedText(start);
            var text = new SourceText("quay.rig", start);
            foreach (var (from, to, inserted) in edits)
            {
                var range = new Protocol.Range(new Position(from.Line, from.Character), new Position(to.Line, to.Character));
                together.Replace(range, inserted, positions);
                text = text.With(new TextChange(positions.SpanOf(text, range), inserted));
                together.ToString().Should().Be(text.Content);
            }
        });

    [Fact]
    public void A_place_and_its_offset_are_one_in_every_unit() =>
        Gen.Select(AnyText, Gen.OneOf(PositionEncoding.Utf8, PositionEncoding.Utf16, PositionEncoding.Utf32)).Sample((content, encoding) =>
        {
            var text = new SourceText("quay.rig", content);
            var positions = new PositionMap(encoding);
            for (var offset = 0; offset <= content.Length; offset++)
            {
                if (offset > 0 && offset < content.Length && (char.IsLowSurrogate(content[offset]) || (content[offset - 1] == '\r' && content[offset] == '\n'))) continue;
                positions.OffsetOf(text, positions.PositionOf(text, offset)).Should().Be(offset);
            }
        });

    [Theory]
    [InlineData("utf-8", 9)]
    [InlineData("utf-16", 7)]
    [InlineData("utf-32", 6)]
    public async Task Findings_are_placed_in_the_unit_that_was_agreed_on(string encoding, int character)
    {
        // The clef is four bytes, two UTF-16 units, one code point.
        using var server = await ServerProcess.StartForAnswers(Clients.Counting(encoding));
        server.Open("untitled:quay", "/*𝄞*/ rat 48 kHz\n");

        var published = await server.Told("textDocument/publishDiagnostics");
        ((int?)published["diagnostics"]![0]!["range"]!["start"]!["character"]).Should().Be(character);
    }

    [Fact]
    public async Task Every_edit_s_findings_carry_its_version()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open("untitled:quay", "rig \"Lantern Quay\"\n", version: 1);
        (await server.Findings("untitled:quay", 1)).Should().BeEmpty();

        server.Change("untitled:quay", 2, 1, 0, 1, 0, "rate 48\n");
        (await server.Findings("untitled:quay", 2)).Should().Equal("PL0107 2:6");
        server.Change("untitled:quay", 3, 1, 7, 1, 7, " kHz");
        (await server.Findings("untitled:quay", 3)).Should().BeEmpty();
    }

    [Fact]
    public async Task A_change_without_a_range_is_the_whole_text_and_several_come_one_behind_the_other()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open("untitled:quay", "rate 48\n");
        server.Tell("textDocument/didChange", new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = "untitled:quay", ["version"] = 2 },
            ["contentChanges"] = new JsonArray(
                new JsonObject { ["text"] = "rig \"Quay\"\nrate 48\n" },
                new JsonObject { ["range"] = ServerProcess.RangeOf(1, 7, 1, 7), ["text"] = " k" },
                new JsonObject { ["range"] = ServerProcess.RangeOf(1, 9, 99, 0), ["text"] = "Hz" }),
        });

        (await server.Findings("untitled:quay", 2)).Should().BeEmpty();
    }

    [Fact]
    public async Task A_request_sees_the_edits_that_came_before_it_and_none_that_came_later()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Pulling);
        server.Open("untitled:quay", "rig \"Quay\"\n");
        var ids = new List<int>();
        for (var i = 0; i < 20; i++)
        {
            server.Change("untitled:quay", i + 2, 1, 0, 1, 0, $"loom way{i} : 12 ways 15 m\n");
            ids.Add(server.Send("textDocument/diagnostic", new JsonObject { ["textDocument"] = new JsonObject { ["uri"] = "untitled:quay" } }));
        }

        for (var i = 0; i < 20; i++)
            (await server.Answer(ids[i]))["result"]!["items"]!.AsArray().Count.Should().Be(i + 1, "each loom is unused");
    }

    [Fact]
    public async Task Of_very_many_proposals_those_with_the_letters_typed_come_and_the_list_says_that_it_is_cut()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        var units = string.Concat(Enumerable.Range(0, 1_000).Select(i => $"unit box{i} : Box\n"));
        server.Open("untitled:quay", $"format line {{ joins shared }}\ngear Box {{ out a : line }}\n{units}feed lead : box99\n");
        var answer = await server.Ask("textDocument/completion", new JsonObject
        {
            ["textDocument"] = new JsonObject { ["uri"] = "untitled:quay" },
            ["position"] = new JsonObject { ["line"] = 1_002, ["character"] = 17 },
        });

        ((bool?)answer["result"]!["isIncomplete"]).Should().BeTrue();
        answer["result"]!["items"]!.AsArray().Select(i => (string?)i!["label"]).Should().Contain("box99").And.Contain("box999").And.NotContain("box1").And.HaveCountLessThan(201);
    }
}
