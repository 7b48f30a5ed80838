using System.Text.Json;
using System.Xml.Linq;
using System.Xml.Schema;
using FluentAssertions;
using NJsonSchema;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary><c>patchlang check --expectations</c>.</summary>
public sealed class ExpectationsTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        format wire { joins point_to_point  way one  time none }
        gear Desk { strip ch[4] bus mix[2] in mic[8] : wire out line[2] : wire { listener } route mic -> ch free route ch -> mix free route mix -> line free }
        unit desk : Desk
        feed fiddle : desk.mic[1] -> desk.ch[1]
        feed click : desk.mic[2] -> desk.ch[2]
        feed band : sum(fiddle) -> desk.mix[1] -> desk.line[1]
        expect band hears fiddle // which is the point of it
        expect band
          never hears click
        expect desk.mic spare in >= 4

        """;

    private const string Broken = """
        expect desk.mic spare in >= 7
        allow PL1001 "the click is for <later> & \"this\""
        expect band hears click

        """;

    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void Each_is_listed_with_its_figure_and_its_place()
    {
        session.With("quay.rig", Plan).Run("check", "quay.rig", "--expectations").Should().Be(new Outcome(
            0,
            """
            held       expect band hears fiddle                   quay.rig:8
            held       expect band never hears click              quay.rig:9
            held       expect desk.mic spare in >= 4  6 spare     quay.rig:11
            3 expectations: 3 held

            """,
            ""));
    }

    [Fact]
    public void What_does_not_hold_says_why_and_exits_with_1()
    {
        var outcome = session.With("quay.rig", Plan + Broken).Run("check", "quay.rig", "--expectations");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("broken     expect desk.mic spare in >= 7").And.Contain("desk.mic has 6 spare in, with 2 used; at least 7 are expected")
            .And.Contain("allowed    expect band hears click").And.EndWith("5 expectations: 3 held, 1 allowed, 1 broken\n");
    }

    [Fact]
    public void One_that_is_meant_to_be_broken_is_no_failure() =>
        session.With("quay.rig", Plan + Broken.Replace(">= 7", ">= 1", StringComparison.Ordinal)).Run("check", "quay.rig", "--expectations").ExitCode.Should().Be(0);

    [Fact]
    public void One_that_can_t_be_decided_or_read_is_not_held()
    {
        var outcome = session.With("quay.rig", Plan + "expect nobody hears fiddle\nexpect band hears\n").Run("check", "quay.rig", "--expectations");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("undecided  expect nobody hears fiddle").And.Contain("it could not be read").And.EndWith("5 expectations: 3 held, 2 undecided\n");
    }

    [Fact]
    public void As_json_with_the_figure_as_a_number()
    {
        var json = JsonDocument.Parse(session.With("quay.rig", Plan + Broken).Run("check", "quay.rig", "--expectations", "--format", "json").Output).RootElement;

        var third = json.GetProperty("expectations")[2];
        (third.GetProperty("state").GetString(), third.GetProperty("figure").GetDouble(), third.GetProperty("place").GetProperty("line").GetInt32()).Should().Be(("held", 6, 11));
        json.GetProperty("expectations")[3].GetProperty("code").GetString().Should().Be("PL1001");
        json.GetProperty("expectations")[4].GetProperty("allowedBecause").GetString().Should().StartWith("the click");
    }

    [Fact]
    public void As_junit_with_counts_that_are_those_of_its_cases()
    {
        var suites = XDocument.Parse(session.With("quay.rig", Plan + Broken).Run("check", "quay.rig", "--expectations", "--format", "junit").Output).Root!;

        suites.Name.LocalName.Should().Be("testsuites");
        var suite = suites.Elements("testsuite").Should().ContainSingle().Subject;
        foreach (var counted in new[] { suites, suite })
            (Count(counted, "tests"), Count(counted, "failures"), Count(counted, "errors")).Should().Be((5, 1, 0));
        Count(suite, "skipped").Should().Be(1);
        suite.Elements("testcase").Should().HaveCount(5);
        suite.Descendants("failure").Should().ContainSingle().Which.Attribute("message")!.Value.Should().Be("desk.mic has 6 spare in, with 2 used; at least 7 are expected");
        suite.Descendants("skipped").Should().ContainSingle().Which.Value.Should().Be("allowed: the click is for <later> & \"this\"");
        suite.Elements("testcase").Select(c => c.Attribute("classname")!.Value).Distinct().Should().Equal("quay.rig");

        static int Count(XElement element, string name) => int.Parse(element.Attribute(name)!.Value, System.Globalization.CultureInfo.InvariantCulture);
    }

    /// <summary>The schema that build servers read such reports by; where it comes from stands in Schemas/README.md.</summary>
    [Fact]
    public void Junit_is_as_the_schema_of_its_readers_says()
    {
        var schemas = new XmlSchemaSet();
        schemas.Add(null, Path.Combine(AppContext.BaseDirectory, "Schemas", "junit.xsd"));
        session.With("quay.rig", Plan + Broken).With("hall.rig", Plan + "expect nobody hears fiddle\n").With("empty.rig", "rig \"Empty\"\n");

        foreach (var line in (string[][])[["quay.rig"], ["quay.rig", "hall.rig", "empty.rig"], ["quay.rig", "gone.rig"], ["gone.rig"]])
        {
            var report = XDocument.Parse(session.Run(["check", .. line, "--expectations", "--format", "junit"]).Output);
            report.Validate(schemas, (_, fault) => throw new Xunit.Sdk.XunitException(fault.Message));
        }
        var wrong = XDocument.Parse("<testsuites><testsuite tests=\"1\"/></testsuites>");
        var validate = () => wrong.Validate(schemas, null);
        validate.Should().Throw<XmlSchemaValidationException>("a suite has a name");
    }

    [Fact]
    public async Task Json_is_as_its_schema_says()
    {
        var schema = await JsonSchema.FromFileAsync(Path.Combine(AppContext.BaseDirectory, "Schemas", "expectations.schema.json"));
        session.With("quay.rig", Plan + Broken + "expect nobody hears fiddle\n");

        foreach (var plan in new[] { "quay.rig", "gone.rig" })
            schema.Validate(session.Run("check", plan, "--expectations", "--format", "json").Output).Should().BeEmpty();
        schema.Validate("{\"version\": 1, \"plans\": 1, \"failures\": [], \"expectations\": [{\"text\": \"\", \"state\": \"kept\"}]}").Should().NotBeEmpty();
    }

    [Fact]
    public void A_plan_that_can_t_be_read_is_an_error_in_junit_too()
    {
        var outcome = session.Run("check", "gone.rig", "--expectations", "--format", "junit");

        outcome.ExitCode.Should().Be(2);
        XDocument.Parse(outcome.Output).Descendants("error").Should().ContainSingle();
    }

    [Theory]
    [InlineData("--expectations", "--fix")]
    [InlineData("--expectations", "--format", "sarif")]
    [InlineData("--format", "junit")]
    public void What_makes_no_sense_together_is_one_clear_line(params string[] options)
    {
        var outcome = session.With("quay.rig", Plan).Run(["check", "quay.rig", .. options]);

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Should().ContainSingle();
    }

    [Fact]
    public void A_plan_that_expects_nothing_says_so() =>
        session.With("quay.rig", "rig \"Quay\"\n").Run("check", "quay.rig", "--expectations").Output.Should().Contain("expects nothing");
}
