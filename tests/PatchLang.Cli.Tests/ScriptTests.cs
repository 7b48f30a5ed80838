using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>Scripts that write files, as a user runs them. What a script can do wrong is tested where the process is.</summary>
public sealed class ScriptTests : IDisposable
{
    private const string Plan = """
        rig "Pier"
        format line { joins point_to_point  way one  time none }
        gear Player   { out play[2] : line }
        gear Recorder { in track[2] : line { recorder } }
        unit player   : Player
        unit recorder : Recorder
        cable player.play -> recorder.track : 5 m
        feed song : player.play[1] -> recorder.track[1]
        """;

    private readonly Session session = new Session().With("pier.rig", Plan);

    public void Dispose() => session.Dispose();

    [Fact]
    public void What_a_script_writes_stands_below_the_folder_that_is_named()
    {
        session.With("lists.csx", """
            var units = new Table("Units", "Unit");
            foreach (var unit in Rig.Units) units.Add(unit.Name);
            Output.Csv("lists/units.csv", units);
            Output.Text("said.txt", string.Join(" ", Arguments));
            Console.WriteLine("Two files.");
            """);

        session.Run("script", "lists.csx", "pier.rig", "a", "b", "--to", "out").Should().Be(new Outcome(0, "Two files.\n2 files written to out: lists/units.csv, said.txt\n", ""));
        session.Read("out/lists/units.csv").Should().Be("Unit\r\nplayer\r\nrecorder\r\n");
        session.Read("out/said.txt").Should().Be("a b");
        Directory.EnumerateFiles(session.PathOf("out"), "*.new", SearchOption.AllDirectories).Should().BeEmpty();
    }

    [Fact]
    public void A_plan_that_it_writes_is_checked()
    {
        session.With("plans.csx", """
            var good = new PlanWriter();
            good.Rig("Good");
            Output.Plan("good.rig", good);
            var bad = new PlanWriter();
            bad.Rig("Bad");
            bad.Unit("desk", "Deks48");
            Output.Plan("bad.rig", bad);
            """);

        var outcome = session.Run("script", "plans.csx", "pier.rig", "--to", "out");

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().Contain("out/good.rig is checked: no error and no warning.\n").And.Contain("out/bad.rig has 1 error or warning. Read them with: patchlang check out/bad.rig\n");
    }

    [Fact]
    public void A_script_that_fails_is_said_with_its_line_and_nothing_is_written()
    {
        session.With("bad.csx", "Output.Text(\"a.txt\", \"a\");\nthrow new Exception(\"no\");");

        session.Run("script", "bad.csx", "pier.rig", "--to", "out").Should().Be(new Outcome(2, "", "patchlang: bad.csx:2:1: Exception: no\npatchlang: the script bad.csx failed; nothing was written\n"));
        Directory.Exists(session.PathOf("out")).Should().BeFalse();
    }

    [Fact]
    public void Where_it_can_t_be_written_is_one_line()
    {
        session.With("one.csx", "Output.Text(\"in/a.txt\", \"a\");");

        session.Run("script", "one.csx", "pier.rig", "--to", "pier.rig").Should().Be(new Outcome(2, "", "patchlang: pier.rig could not be written to: it is a file, and not a folder; nothing was written\n"));
        session.Run("script", "one.csx", "pier.rig").Should().Be(new Outcome(2, "", "patchlang: the script writes 1 file; say where with --to FOLDER. Nothing was written\n"));
        session.With("out/in", "a file");
        session.Run("script", "one.csx", "pier.rig", "--to", "out").Error.Should().Be("patchlang: out could not be written to: in in it is a file, and in/a.txt needs a folder; nothing was written\n");
    }

    [Fact]
    public void A_link_in_the_folder_is_not_followed_out_of_it()
    {
        if (OperatingSystem.IsWindows()) return; // links need a privilege there
        session.With("one.csx", "Output.Text(\"in/a.txt\", \"a\");");
        Directory.CreateDirectory(session.PathOf("out"));
        Directory.CreateDirectory(session.PathOf("elsewhere"));
        Directory.CreateSymbolicLink(session.PathOf("out/in"), session.PathOf("elsewhere"));

        session.Run("script", "one.csx", "pier.rig", "--to", "out").Error.Should().Be("patchlang: out could not be written to: in in it is a link, and may lead elsewhere; nothing was written\n");
        Directory.EnumerateFileSystemEntries(session.PathOf("elsewhere")).Should().BeEmpty();
    }

    [Theory]
    [InlineData("patchlang: the script missing.csx: there is no such file\n", "missing.csx", "pier.rig")]
    [InlineData("patchlang: pier.rig is a plan; the script stands ahead of it\n", "pier.rig", "one.csx")]
    public void What_is_not_there_is_said(string said, params string[] arguments) =>
        session.With("one.csx", "").Run(["script", .. arguments]).Should().Be(new Outcome(2, "", said));

    [Fact]
    public void The_scripts_in_the_README_run_as_they_stand_there()
    {
        foreach (var sample in (string[])["lantern-quay", "scripts"])
            foreach (var file in Directory.EnumerateFiles(Path.Combine(ReadmeTests.Root, "samples", sample)))
                session.With($"samples/{sample}/{Path.GetFileName(file)}", File.ReadAllBytes(file));
        var lines = ReadmeTests.Block("sh scripts").Split('\n', StringSplitOptions.RemoveEmptyEntries);

        lines.Should().HaveCountGreaterThanOrEqualTo(4);
        foreach (var line in lines) session.Run(line.Split(' ')[1..]).Should().Match<Outcome>(o => o.ExitCode == 0 && o.Error.Length == 0, line);
        File.Exists(session.PathOf("seats/monitor-seats.rig")).Should().BeTrue();
    }
}
