using System.Text.Json.Nodes;
using FluentAssertions;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Drawings.Writers;
using PatchLang.Text;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Drawings for a view beside the editor, where scenarios can't show it.</summary>
public sealed class DrawingRequestTests
{
    private const string Uri = "untitled:quay";

    private const string Text = """
        rig "Lantern Quay"
        rate 48 kHz
        gear Box "box" { in a : analog  out b : analog  route a -> b fixed }
        unit one : Box
        unit two : Box
        cable one.b -> two.a : twisted_pair 5 m

        """;

    [Theory]
    [InlineData("""{ "textDocument": { "uri": "untitled:quay" }, "kind": "stage" }""")]
    [InlineData("""{ "textDocument": { "uri": "untitled:quay" } }""")]
    [InlineData("""{ "kind": "rig" }""")]
    public async Task A_drawing_that_there_is_not_is_refused(string question)
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open(Uri, Text);

        var answer = await server.Ask("patchlang/drawing", JsonNode.Parse(question));

        ((int?)answer["error"]!["code"]).Should().Be(-32602);
    }

    [Fact]
    public async Task A_document_of_no_plan_has_none()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);

        foreach (var method in (string[])["patchlang/drawing", "patchlang/wayAt", "patchlang/drawingFile"])
            (await server.Ask(method, Question("rig")))["result"].Should().BeNull(method);
    }

    [Fact]
    public async Task The_file_is_the_one_that_the_program_writes_and_has_one_ground_on_paper()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open(Uri, Text);
        var plan = Compilation.Create(new SourceText("plan.rig", Text), _ => FileReading.Failed(FileProblem.NotFound));

        var file = (await server.Ask("patchlang/drawingFile", Question("rig")))["result"]!;

        // The files of a document that is on no disk are called by its whole name.
        ((string)file["svg"]!).Replace(Uri, "plan.rig", StringComparison.Ordinal).Should().Be(SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs)));
        ((string)file["svg"]!).Should().Contain("prefers-color-scheme");
        ((string)file["forPaper"]!).Should().NotContain("prefers-color-scheme");
    }

    [Fact]
    public async Task A_drawing_is_of_the_version_that_was_left_standing()
    {
        using var server = await ServerProcess.StartForAnswers(Clients.Full);
        server.Open(Uri, Text);
        for (var version = 2; version < 8; version++) server.Change(Uri, version, 5, 0, 5, 0, $"unit more{version} : Box\n");

        var drawing = (await server.Ask("patchlang/drawing", Question("rig")))["result"]!;

        ((int?)drawing["version"]).Should().Be(7);
        drawing["things"]!.AsArray().Count(t => ((string)t!["id"]!).StartsWith("box-", StringComparison.Ordinal)).Should().Be(8);
    }

    private static JsonObject Question(string kind) => new() { ["textDocument"] = new JsonObject { ["uri"] = Uri }, ["kind"] = kind };
}
