using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

public sealed class TidyTests : IDisposable
{
    private const string Untidy = "rig   \"Quay\"\nrate 48 kHz\nunit a:Desk48\nunit longer:Desk48\n";
    private const string Neat = "rig \"Quay\"\nrate 48 kHz\nunit a      : Desk48\nunit longer : Desk48\n";

    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void Files_are_changed_in_place_and_named()
    {
        session.With("quay.rig", Untidy).With("tidy.rig", Neat);

        session.Run("tidy", ".").Should().Be(new Outcome(0, "quay.rig is tidied\n", ""));
        session.Read("quay.rig").Should().Be(Neat);
        session.Run("tidy", ".").Should().Be(new Outcome(0, "", ""));
    }

    [Fact]
    public void Check_changes_nothing()
    {
        session.With("quay.rig", Untidy).With("tidy.rig", Neat);

        session.Run("tidy", "--check", ".").Should().Be(new Outcome(1, "quay.rig is not tidy\n", ""));
        session.Run("tidy", "--check", "tidy.rig").Should().Be(new Outcome(0, "", ""));
        session.Read("quay.rig").Should().Be(Untidy);
    }

    [Fact]
    public void Diff_shows_what_would_change()
    {
        session.With("quay.rig", Untidy);

        session.Run("tidy", "--diff", "quay.rig").Should().Be(new Outcome(
            1,
            """
            --- quay.rig
            +++ quay.rig (tidy)
            @@ -1,4 +1,4 @@
            -rig   "Quay"
            +rig "Quay"
             rate 48 kHz
            -unit a:Desk48
            -unit longer:Desk48
            +unit a      : Desk48
            +unit longer : Desk48

            """,
            ""));
        session.Read("quay.rig").Should().Be(Untidy);
    }

    [Fact]
    public void Distant_changes_are_shown_apart_and_the_difference_is_a_patch()
    {
        var remarks = string.Concat(Enumerable.Range(1, 20).Select(i => $"// remark {i}\n"));
        session.With("quay.rig", $"rig  \"Quay\"\n{remarks}rate  48 kHz\n");

        var lines = session.Run("tidy", "--diff", "quay.rig").Lines;

        lines.Where(l => l.StartsWith("@@", StringComparison.Ordinal)).Should().Equal("@@ -1,4 +1,4 @@", "@@ -19,4 +19,4 @@");
    }

    [Fact]
    public void Standard_input_goes_to_standard_output()
    {
        session.Input = Untidy;

        session.Run("tidy", "-").Should().Be(new Outcome(0, Neat, ""));
    }

    [Fact]
    public void A_byte_order_mark_stays()
    {
        session.With("quay.rig", "\uFEFF" + Untidy).Run("tidy", "quay.rig");

        File.ReadAllBytes(session.PathOf("quay.rig")).Should().StartWith([0xEF, 0xBB, 0xBF]);
    }

    [Fact]
    public void What_cannot_be_read_is_one_line_and_exits_with_2()
    {
        session.With("quay.rig", [0xFF, 0xFE, 0x41, 0x00]);

        session.Run("tidy", "quay.rig").Should().Be(
            new Outcome(2, "", "patchlang: quay.rig: it is not text in UTF-8: it is UTF-16; save it as UTF-8\n"));
        File.ReadAllBytes(session.PathOf("quay.rig")).Should().Equal([0xFF, 0xFE, 0x41, 0x00]);
    }

    [Fact]
    public void Without_a_path_it_changes_nothing() => session.With("quay.rig", Untidy).Run("tidy").ExitCode.Should().Be(2);
}
