using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using FluentAssertions;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Features;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>The tokens of a file are made of those that were sent last, and are those that a fresh start would give.</summary>
public sealed class FileTokensTests
{
    private const string Uri = "untitled:quay";

    private const string Text = """
        // What is written ahead of everything.
        rig "Lantern Quay"
        format line { joins point_to_point  way one  time none  medium copper up to 100 m }
        /// A box.
        gear Box(n) "box" { in in[n] : line  out out[n] : line  route in -> out fixed }
        unit stage : Box(8) "Stage box" { place = "stage" }  unit quay : Box(8) "Quay box"
        feed lead "Lead 𝄞" : stage.out[1] -> quay.in[1] // é
        feed band[1..2] : stage.out[2..3] -> quay.in[2..3]  feed low : stage.out[4] -> quay.in[4]

        /* A remark
           of several lines. */
        expect lead latency <= 5 ms  expect low hears stage.out[4]
        expect band hears lead
        """;

    private static readonly string[] Pieces =
        ["\n", "\r\n", " ", "x", "\"", "/*", "*/", "// ", "}", "[1..2]", "feed more : stage.out[5] -> quay.in[5]\n", "unit lead : Box(2)\n", "rig \"Quay\"\n", "expect lead latency <= 6 ms\n", "use \"library/stage.rig\"\n", "𝄞", "lead", "$"];

    [Theory]
    [InlineData("utf-8", 1)]
    [InlineData("utf-16", 2)]
    [InlineData("utf-16", 3)]
    public void Edits_give_what_a_fresh_start_gives(string encoding, int seed)
    {
        var random = new Random(seed);
        var client = new Client(JsonSerializer.Deserialize($$$"""{ "capabilities": { "general": { "positionEncodings": ["{{{encoding}}}"] } } }""", ProtocolJson.Default.InitializeParams)!);
        var text = new StringBuilder(Text);
        var compilation = Compilation.Create(OpenDocument.Open(new TextDocumentItem(Uri, 0, Text)).Text, _ => FileReading.Failed(FileProblem.NotFound));
        FileTokens? last = null;
        for (var edit = 0; edit < 300; edit++)
        {
            var start = random.Next(text.Length + 1);
            var length = random.Next(3) == 0 ? Math.Min(random.Next(12), text.Length - start) : 0;
            var piece = random.Next(3) == 0 && length > 0 ? "" : Pieces[random.Next(Pieces.Length)];
            if (random.Next(12) == 0) (start, length, piece) = (0, text.Length, Text); // back to a plan that makes sense
            text.Remove(start, length).Insert(start, piece);
            var document = OpenDocument.Open(new TextDocumentItem(Uri, edit + 1, text.ToString()));
            compilation = compilation.With(document.Text);
            if (random.Next(4) == 0) continue; // nobody asks after each edit
            var view = new Snapshot(client, ImmutableDictionary<string, OpenDocument>.Empty.Add(Uri, document), [new LoadedPlan(Uri, compilation)]).ViewOf(Uri)!;

            var now = FileTokens.Of(view, last);

            var fresh = FileTokens.Of(view, null);
            Numbers(now.Data).Should().Equal(Numbers(fresh.Data), "edit {0} gave\n{1}", edit, text);
            if (last is not null) Changed(Numbers(last.Data), now.Data.EditsFrom(last.Data)).Should().Equal(Numbers(now.Data), "that is what the edits make of it");
            FileTokens.Of(view, now).Should().BeSameAs(now, "nothing has changed since");
            last = now;
        }
    }

    private static List<int> Numbers(TokenNumbers numbers) => [.. JsonDocument.Parse(numbers.Json).RootElement.EnumerateArray().Select(n => n.GetInt32())];

    private static List<int> Changed(List<int> numbers, SemanticTokensEdit[] edits)
    {
        foreach (var edit in edits)
        {
            numbers.RemoveRange(edit.Start, edit.DeleteCount);
            numbers.InsertRange(edit.Start, Numbers(edit.Data));
        }
        return numbers;
    }
}
