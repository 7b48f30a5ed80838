using System.Text.Json;
using FluentAssertions;
using NJsonSchema;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class OutputTests : IDisposable
{
    private readonly Session session = new();

    public OutputTests() => session.With("day one/quay, main.rig", "rig \"100 % Quay\"\nfeed lead : rack.mic[5] desk.ch[5]\n");

    public void Dispose() => session.Dispose();

    [Fact]
    public void Json_gives_every_finding_with_its_place()
    {
        var outcome = session.Run("check", ".", "--format", "json");

        outcome.ExitCode.Should().Be(1);
        var report = JsonDocument.Parse(outcome.Output).RootElement;
        report.GetProperty("version").GetInt32().Should().Be(1);
        report.GetProperty("plans").GetInt32().Should().Be(1);
        report.GetProperty("errors").GetInt32().Should().Be(1);
        var finding = report.GetProperty("findings").EnumerateArray().Should().ContainSingle().Subject;
        finding.GetProperty("code").GetString().Should().Be("PL0101");
        finding.GetProperty("severity").GetString().Should().Be("error");
        finding.GetProperty("title").GetString().Should().Be("unexpected text");
        finding.GetProperty("message").GetString().Should().NotBeEmpty();
        finding.GetProperty("place").GetRawText().ReplaceLineEndings("").Replace(" ", "").Should()
            .Be("""{"file":"dayone/quay,main.rig","line":2,"column":25,"endLine":2,"endColumn":29}""");
    }

    [Fact]
    public async Task Sarif_obeys_its_schema()
    {
        var schema = await JsonSchema.FromFileAsync(Path.Combine(AppContext.BaseDirectory, "Schemas", "sarif-2.1.0-rtm.5.json"));

        var found = session.Run("check", ".", "--format", "sarif");
        var failed = session.Run("check", ".", "gone.rig", "--format", "sarif");

        schema.Validate(found.Output).Should().BeEmpty();
        schema.Validate(failed.Output).Should().BeEmpty();
        schema.Validate(found.Output.Replace("startLine", "begin")).Should().NotBeEmpty("the schema must be able to refuse");
    }

    [Fact]
    public void Sarif_names_rule_place_and_outcome()
    {
        var run = JsonDocument.Parse(session.Run("check", ".", "gone.rig", "--format", "sarif").Output).RootElement.GetProperty("runs")[0];

        var rule = run.GetProperty("tool").GetProperty("driver").GetProperty("rules")[0];
        rule.GetProperty("id").GetString().Should().Be("PL0101");
        rule.GetProperty("help").GetProperty("markdown").GetString().Should().StartWith("# PL0101");
        var result = run.GetProperty("results")[0];
        result.GetProperty("ruleIndex").GetInt32().Should().Be(0);
        result.GetProperty("level").GetString().Should().Be("error");
        var place = result.GetProperty("locations")[0].GetProperty("physicalLocation");
        place.GetProperty("artifactLocation").GetProperty("uri").GetString().Should().Be("day%20one/quay%2C%20main.rig");
        place.GetProperty("region").GetProperty("startColumn").GetInt32().Should().Be(25);
        var invocation = run.GetProperty("invocations")[0];
        invocation.GetProperty("executionSuccessful").GetBoolean().Should().BeFalse();
        invocation.GetProperty("toolExecutionNotifications")[0].GetProperty("message").GetProperty("text").GetString()
            .Should().Be("gone.rig: there is no such file");
    }

    [Fact]
    public void Annotations_are_escaped()
    {
        var outcome = session.Run("check", ".", "--format", "github");

        outcome.ExitCode.Should().Be(1);
        outcome.Lines[0].Should().StartWith("::error file=day one/quay%2C main.rig,line=2,col=25,endColumn=29,title=PL0101 unexpected text::");
        outcome.Lines[1].Should().Be("1 plan: 1 error");
    }
}
