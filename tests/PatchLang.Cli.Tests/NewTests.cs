using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class NewTests : IDisposable
{
    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void The_starter_is_written_and_checks_clean()
    {
        var written = session.Run("new", "festival");
        var check = session.Run("check", "festival");

        written.Should().Be(new Outcome(0, "festival/plan.rig is written. Check it with: patchlang check festival/plan.rig\n", ""));
        check.Should().Be(new Outcome(0, "1 plan: nothing found\n", ""));
        session.Run("tidy", "--check", "festival").Should().Be(new Outcome(0, "", ""));
    }

    [Fact]
    public void It_is_written_here_if_here_is_empty()
    {
        session.Run("new").ExitCode.Should().Be(0);

        session.Read("plan.rig").Should().Contain("\nrig \"");
    }

    [Fact]
    public void A_folder_with_anything_in_it_is_left_alone()
    {
        var outcome = session.With("festival/.hidden", "").Run("new", "festival");

        outcome.Should().Be(new Outcome(2, "", "patchlang: festival is not empty (.hidden is in it); nothing was written\n"));
        Directory.GetFileSystemEntries(session.PathOf("festival")).Should().ContainSingle();
    }

    [Fact]
    public void A_file_is_no_folder()
    {
        var outcome = session.With("festival", "mine").Run("new", "festival");

        outcome.Should().Be(new Outcome(2, "", "patchlang: festival is a file; a starter plan needs a folder\n"));
        session.Read("festival").Should().Be("mine");
    }
}
