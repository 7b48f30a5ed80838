using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class DrawTests : IDisposable
{
    private const string Plan = """
        rig "Lantern Quay"
        rate 48 kHz
        use "library/stage.rig"
        act tide "The Tide Band"
        unit rack  : StageRack(8, 8) "Rack"
        unit wedge : Wedge
        cable rack.line[1] -> wedge.line : twisted_pair 8 m "W"
        feed fiddle "Fiddle" : rack.mic[1] -> rack.line[1] -> wedge.to_ears
        timekeeper rack

        """;

    private readonly Session session = new Session().With("quay.rig", Plan);

    public void Dispose() => session.Dispose();

    [Theory]
    [InlineData("svg", "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg ")]
    [InlineData("html", "<!DOCTYPE html>\n<html lang=\"en\">")]
    [InlineData("dot", "digraph rig {\n")]
    [InlineData("graphml", "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<graphml ")]
    public void A_drawing_goes_to_standard_output_in_each_format(string format, string start)
    {
        var outcome = session.Run("draw", "quay.rig", "--format", format);

        outcome.ExitCode.Should().Be(0);
        outcome.Error.Should().BeEmpty();
        outcome.Output.Should().StartWith(start).And.Contain("Rack").And.Contain("wedge");
    }

    [Fact]
    public void Or_to_a_file()
    {
        session.Run("draw", "quay.rig", "--to", "quay.svg").Should().Be(new Outcome(0, "quay.svg is written.\n", ""));

        session.Read("quay.svg").Should().Be(session.Run("draw", "quay.rig").Output);
    }

    [Theory]
    [InlineData(".", "it is a folder")]
    [InlineData("none/quay.svg", "there is no such folder")]
    [InlineData("quay.rig/quay.svg", "there is no such folder")]
    public void A_file_that_can_t_be_written_is_told_as_it_was_named(string to, string why)
    {
        session.Run("draw", "quay.rig", "--to", to).Should().Be(new Outcome(2, "", $"patchlang: {to} could not be written: {why}\n"));

        Directory.GetFiles(session.Folder).Should().ContainSingle();
    }

    [Theory]
    [InlineData("rig", "Rig: Lantern Quay")]
    [InlineData("clocks", "Clocks: Lantern Quay")]
    [InlineData("fiddle", "The way of Fiddle (fiddle): Lantern Quay")]
    [InlineData("rack.mic[1]", "The way of rack.mic[1]: Lantern Quay")]
    public void The_rig_its_clocks_or_a_way(string of, string title) =>
        session.Run("draw", "quay.rig", "--of", of).Output.Should().Contain($"<title id=\"title\">{title}</title>");

    [Fact]
    public void What_is_not_there_is_one_line()
    {
        session.Run("draw", "quay.rig", "--of", "fidle").Should().Be(new Outcome(2, "", "patchlang: quay.rig: there is no unit, feed or bundle called `fidle`; did you mean `fiddle`?\n"));
        session.Run("draw", "quay.rig", "--act", "bells").Should().Be(new Outcome(2, "", "patchlang: there is no act bells; there are tide\n"));
        session.Run("draw", "nowhere.rig").ExitCode.Should().Be(2);
    }

    [Fact]
    public void A_point_that_nothing_passes_is_said_so() =>
        session.Run("draw", "quay.rig", "--of", "rack.mic[5]").Output.Should().Contain("Nothing is patched there.");

    [Fact]
    public void What_can_not_be_written_is_one_line_and_leaves_nothing_behind()
    {
        var outcome = session.Run("draw", "quay.rig", "--to", "nowhere/quay.svg");

        outcome.ExitCode.Should().Be(2);
        outcome.Output.Should().BeEmpty();
        outcome.Error.Should().StartWith("patchlang: nowhere/quay.svg could not be written: ").And.EndWith("\n");
        outcome.Error.TrimEnd('\n').Should().NotContain("\n");
        Directory.GetFileSystemEntries(session.Folder).Should().ContainSingle();
    }

    [Fact]
    public void A_folder_is_not_written_over()
    {
        Directory.CreateDirectory(session.PathOf("out"));

        session.Run("draw", "quay.rig", "--to", "out").ExitCode.Should().Be(2);

        Directory.GetFileSystemEntries(session.Folder).Should().HaveCount(2);
    }

    [Fact]
    public void A_wrong_plan_is_drawn_and_says_so() =>
        session.With("wrong.rig", Plan.Replace("rack.mic[1]", "rack.mic[9]", StringComparison.Ordinal))
            .Run("draw", "wrong.rig").Output.Should().Contain("The plan has one error");

    [Fact]
    public void The_words_of_its_options_are_completed()
    {
        const string line = "patchlang draw quay.rig --of ";
        session.Run($"[suggest:{line.Length}]", line).Lines.Should().Contain("rig").And.Contain("clocks");
    }
}
