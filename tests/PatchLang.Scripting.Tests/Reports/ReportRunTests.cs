using System.Text;
using FluentAssertions;
using PatchLang.Files;
using PatchLang.Findings;
using PatchLang.Scripting.Hosting;
using PatchLang.Scripting.Tests.Rules;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Scripting.Tests.Reports;

/// <summary>Scripts that write files, run as hosts run them: in a process of their own. What fails gives no file, and is said with its line.</summary>
public sealed class ReportRunTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("patchlang-report-").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void The_list_of_free_channels_has_those_of_the_plan()
    {
        var outcome = RunSample("free-channels.csx");

        var file = outcome.Files.Should().ContainSingle().Subject;
        file.Name.Should().Be("free-channels.csv");
        var free = SamplePlans.LanternQuay.Ports.Where(p => p.Kind != Scripting.Model.PortKind.Bus).SelectMany(p => p.Channels).Count(c => c.IsFree || (c.Reserved is not null && !c.IsUsed));
        TextOf(outcome).Split("\r\n", StringSplitOptions.RemoveEmptyEntries).Should().HaveCount(free + 1).And.HaveElementAt(0, "Unit,Port,Channel,Carries,Kept for,Taken for");
        outcome.Printed.Should().Be($"{free} channels are free.\n");
    }

    [Fact]
    public void Every_performer_of_the_day_has_a_sheet()
    {
        var outcome = RunSample("performer-sheets.csx");

        outcome.Files.Select(f => f.Name).Should().Equal("performers.xlsx", "performers.md");
        using var book = new MemoryStream(outcome.Files[0].Content.ToArray());
        MiniExcelLibs.MiniExcel.GetSheetNames(book).Should().Contain("Keys player-s mixer").And.HaveCountGreaterThanOrEqualTo(8);
        TextOf(outcome).Should().Contain("## Keys player's mixer\n").And.Contain("| Lead vocal | split.stage[18] |").And.Contain("| by ear |");
    }

    [Fact]
    public void A_list_of_64_names_gives_a_plan_in_which_nothing_is_found()
    {
        var outcome = RunSample("monitor-seats.csx", "seats.csv");

        outcome.Files.Should().ContainSingle().Which.Name.Should().Be("monitor-seats.rig");
        var plan = Compilation.Create(new SourceText("monitor-seats.rig", TextOf(outcome)), _ => FileReading.Failed(FileProblem.NotFound));
        plan.Findings.Select(f => $"{f.Code} {f.Message}").Should().BeEmpty();
        plan.Rig.Devices.Count(d => d.Model.Gear.Name == "PersonalMixer").Should().Be(64);
        plan.Expectations.Should().HaveCount(64).And.OnlyContain(e => e.State == Checks.ExpectationState.Held);
        Formatting.Tidy.Format(plan.Trees[0]).Should().Be(TextOf(outcome));
    }

    [Fact]
    public void What_it_needs_and_is_not_given_is_said_with_the_line()
    {
        var outcome = RunSample("monitor-seats.csx");

        Said(outcome).Should().Equal("monitor-seats.csx:12: this script needs a list of seats, a CSV file with the columns Name and Section, behind the plan");
    }

    [Theory]
    [InlineData("Output.Text(\"a.txt\", \"a\");\nthrow new InvalidOperationException(\"in the middle\");", "report.csx:2: InvalidOperationException: in the middle")]
    [InlineData("Output.Text(\"a.txt\", \"a\");\nOutput.Text(\"../b.txt\", \"b\");", "report.csx:2: ../b.txt leads out of the folder that the command line names")]
    [InlineData("var plan = new PlanWriter();\n\nplan.Unit(\"up-stage\", \"Desk48\");", "report.csx:3: `up-stage` is no name*")]
    [InlineData("Output.Text(\"a.txt\", \"a\");\nOutput.Pdf(\"b\");", "report.csx:2: *'Pdf'*")]
    [InlineData("ReadRows(\"missing.csv\");", "report.csx:1: missing.csv can't be read: there is no such file")]
    [InlineData("Output.Text(\"a.txt\", \"a\");\nEnvironment.Exit(3);", "report.csx:1: it ended the process that it runs in, with exit code 3")]
    [InlineData("Output.Text(\"a.txt\", \"a\"); while (true) { }", "report.csx:1: it ran longer than the 3 s that a script may, and was stopped")]
    public void A_script_that_fails_writes_nothing(string script, string said)
    {
        var outcome = Run(script);

        outcome.Files.Should().BeEmpty();
        Said(outcome).Should().ContainSingle().Which.Should().Match(said);
    }

    [Fact]
    public void A_million_printed_lines_are_cut_and_spoil_nothing()
    {
        var outcome = Run("for (var i = 0; i < 1_000_000; i++) Console.WriteLine(\"line\");\nOutput.Text(\"a.txt\", \"a\");");

        outcome.Files.Should().ContainSingle();
        outcome.Printed.Length.Should().BeLessThan(200_000);
        outcome.Printed.Should().StartWith("line\nline\n").And.Contain("more characters");
    }

    [Fact]
    public void Where_the_system_can_forbid_it_a_script_writes_no_file_by_itself()
    {
        var outside = Path.Combine(folder, "outside.txt");
        var outcome = Run($"File.WriteAllText(@\"{outside}\", \"x\");");

        if (!outcome.IsShutIn) return; // the README says where it can't be forbidden
        File.Exists(outside).Should().BeFalse();
        Said(outcome).Should().ContainSingle().Which.Should().StartWith("report.csx:1: IOException");
    }

    private static string TextOf(ReportOutcome outcome) => Encoding.UTF8.GetString(outcome.Files[^1].Content.Span);

    private static IEnumerable<string> Said(ReportOutcome outcome) =>
        outcome.Faults.Select(f => $"{Path.GetFileName(f.Place.Source.Path)}:{f.Place.Source.PositionOf(f.Place.Span.Start).Line + 1}: {f.Message}");

    private static ReportOutcome RunSample(string script, params string[] arguments)
    {
        var scripts = Path.Combine(SamplePlans.Root, "samples", "scripts");
        var outcome = Run(SamplePlans.Compile("lantern-quay/lantern-quay.rig"), Path.Combine(scripts, script), scripts, TimeSpan.FromSeconds(60), arguments);
        if (arguments.Length > 0 || script != "monitor-seats.csx") Said(outcome).Should().BeEmpty();
        return outcome;
    }

    private ReportOutcome Run(string script)
    {
        var path = Path.Combine(folder, "report.csx");
        File.WriteAllText(path, script);
        var plan = Compilation.Create(new SourceText("plan.rig", RuleFolder.Duo), _ => FileReading.Failed(FileProblem.NotFound));
        return Run(plan, path, folder, TimeSpan.FromSeconds(3), []);
    }

    private static ReportOutcome Run(Compilation plan, string script, string folder, TimeSpan time, string[] arguments)
    {
        var (program, problem) = ScriptProgram.Find();
        problem.Should().BeNull();
        var outcome = new RuleRunner(program!, ScriptLimits.Usual with { Time = time }).RunReport(plan, folder, RuleFile.Read(script).Rule!, arguments);
        outcome.Problem.Should().BeNull();
        return outcome;
    }
}
