using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class FixTests : IDisposable
{
    private const string Gear = """
        format line { joins point_to_point  way one  time none }
        gear Player   { out play[2] : line }
        gear Recorder { in track[2] : line { recorder } }

        """;

    private const string Plan = """
        rig "Lantern Quay"
        use "gear.rig"
        unit player   : Player
        unit recorder : Recorder
        cable player.play -> recorder.track : 5 m
        feed song[1..2] : player.play[1..2] -> recorder.track[1..2]

        """;

    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void What_needs_no_decision_is_mended_in_every_file_of_the_plan()
    {
        session.With("quay.rig", Plan.Replace("cable player", "cabel player")).With("gear.rig", Gear.Replace("recorder }", "recordr }"));

        session.Run("check", "quay.rig").ExitCode.Should().Be(1);
        session.Run("check", "quay.rig", "--fix").Should().Be(new Outcome(0, "1 plan: nothing found; 2 changes made\n", ""));

        session.Read("quay.rig").Should().Be(Plan);
        session.Read("gear.rig").Should().Be(Gear);
        Directory.GetFiles(session.Folder).Should().HaveCount(2, "nothing is left beside them");
    }

    [Fact]
    public void A_name_is_never_guessed_unasked()
    {
        var misspelt = Plan.Replace("unit player   : Player", "unit player   : Playr").Replace("-> recorder.track[1]", "-> recorder.trak[1]");
        session.With("gear.rig", Gear).With("quay.rig", misspelt);

        session.Run("check", "quay.rig", "--fix").ExitCode.Should().Be(1);

        session.Read("quay.rig").Should().Be(misspelt);
    }

    [Fact]
    public void A_clean_plan_is_not_written()
    {
        var before = File.GetLastWriteTimeUtc(session.With("gear.rig", Gear).With("quay.rig", Plan).PathOf("quay.rig"));

        session.Run("check", "--fix").Should().Be(new Outcome(0, "1 plan: nothing found\n", ""));
        File.GetLastWriteTimeUtc(session.PathOf("quay.rig")).Should().Be(before);
    }

    [Fact]
    public void A_file_that_may_not_be_written_is_left_and_said()
    {
        session.With("gear.rig", Gear).With("quay.rig", Plan.Replace("rig \"Lantern", "rgi \"Lantern"));
        new FileInfo(session.PathOf("quay.rig")).IsReadOnly = true;

        var outcome = session.Run("check", "quay.rig", "--fix");

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().Be("patchlang: quay.rig: could not be changed: it is read-only\n");
        outcome.Output.Should().Contain("1 plan: 1 error\n");
    }

    [Fact]
    public void Where_one_of_several_files_may_not_be_written_none_is_changed()
    {
        var gear = Gear.Replace("gear ", "gaer ");
        var plan = Plan.Replace("rig \"Lantern", "rgi \"Lantern");
        session.With("gear.rig", gear).With("quay.rig", plan);
        new FileInfo(session.PathOf("gear.rig")).IsReadOnly = true;

        var outcome = session.Run("check", "quay.rig", "--fix");

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().Be("patchlang: gear.rig: could not be changed: it is read-only; no file was\n");
        session.Read("quay.rig").Should().Be(plan);
        session.Read("gear.rig").Should().Be(gear);
        Directory.EnumerateFiles(session.PathOf(".")).Should().HaveCount(2);
    }
}
