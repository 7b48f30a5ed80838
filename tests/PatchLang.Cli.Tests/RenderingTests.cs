using FluentAssertions;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>A finding with everything a finding can have, in each output.</summary>
public sealed class RenderingTests : IDisposable
{
    private readonly StringWriter output = new() { NewLine = "\n" };
    private readonly Terminal terminal;
    private readonly Report report = new();

    public RenderingTests()
    {
        terminal = new Terminal(() => Stream.Null, output, TextWriter.Null, "/plans");
        var quay = new SourceText("quay.rig", "unit desk : Desk48\nfollow desk.expansion from internal\n");
        var desks = new SourceText("library/desks.rig", "gear Desk48 {\n  slot expansion : desk_expansion\n}\n");
        report.Add(
            new PlanFile("day/quay.rig", "/plans/day/quay.rig"),
            [
                new Finding(ClockFindings.Conflict, "desk and its card click: 50 %\nof the time", new Place(quay, new TextSpan(26, 14)))
                {
                    Related = [new Place(desks, new TextSpan(21, 9), "the card sits here")],
                    Fixes =
                    [
                        new Fix("make desk.expansion follow its host", true, [new TextEdit(quay, new TextSpan(46, 8), "host")]),
                        new Fix("make desk follow desk.expansion", false, []),
                    ],
                },
            ]);
    }

    public void Dispose() => output.Dispose();

    [Fact]
    public void As_text()
    {
        TextReport.Write(report, terminal);

        output.ToString().Should().Be("""
            day/quay.rig:2:8: error PL0501: desk and its card click: 50 %␊of the time
                 2 | follow desk.expansion from internal
                   |        ^^^^^^^^^^^^^^
              library/desks.rig:2:8: the card sits here
                 2 |   slot expansion : desk_expansion
                   |        ^^^^^^^^^
              to mend it: make desk.expansion follow its host (--fix does it)
              to mend it: make desk follow desk.expansion

            1 plan: 1 error
            What one means: patchlang explain PL0501

            """);
    }

    [Fact]
    public void As_annotation()
    {
        GitHubReport.Write(report, terminal);

        output.ToString().Split('\n')[0].Should().Be(
            $"::error file=day/quay.rig,line=2,col=8,endColumn=22,title=PL0501 {ClockFindings.Conflict.Title}::desk and its card click: 50 %25%0Aof the time"
            + "%0Alibrary/desks.rig:2: the card sits here%0ATo mend it: make desk.expansion follow its host%0ATo mend it: make desk follow desk.expansion");
    }

    [Fact]
    public void As_json()
    {
        JsonReport.Write(report, terminal);

        output.ToString().Should().Contain("""
                  "related": [
                    {
                      "file": "library/desks.rig",
                      "line": 2,
                      "column": 8,
                      "endLine": 2,
                      "endColumn": 17,
                      "remark": "the card sits here"
                    }
                  ],
                  "fixes": [
                    {
                      "title": "make desk.expansion follow its host",
                      "safe": true,
                      "edits": [
                        {
                          "place": {
                            "file": "day/quay.rig",
                            "line": 2,
                            "column": 28,
                            "endLine": 2,
                            "endColumn": 36
                          },
                          "text": "host"
                        }
                      ]
                    },
            """);
    }

    [Fact]
    public async Task As_sarif()
    {
        var schema = await NJsonSchema.JsonSchema.FromFileAsync(Path.Combine(AppContext.BaseDirectory, "Schemas", "sarif-2.1.0-rtm.5.json"));

        SarifReport.Write(report, terminal);

        schema.Validate(output.ToString()).Should().BeEmpty();
        output.ToString().Should().Contain("\"deletedRegion\"").And.Contain("\"relatedLocations\"").And.Contain("\"text\": \"the card sits here\"");
    }
}
