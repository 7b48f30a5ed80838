using System.Runtime.Versioning;
using System.Text;
using FluentAssertions;
using PatchLang.Cli.Files;
using PatchLang.Files;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>Links and permissions here are those of Unix.</summary>
[UnsupportedOSPlatform("windows")]
public sealed class DiskTests : IDisposable
{
    private readonly Session session = new();
    private readonly Disk disk;

    public DiskTests() => disk = new Disk(session.With("plans/gear/desk.rig", "rate 48 kHz\n").With("secret.rig", "rate 96 kHz\n").PathOf("plans"));

    public void Dispose() => session.Dispose();

    [Fact]
    public void A_file_in_the_folder_is_read_under_the_name_it_was_asked_for()
    {
        var reading = disk.Read("gear/desk.rig");

        reading.Problem.Should().Be(FileProblem.None);
        reading.Source!.Path.Should().Be("gear/desk.rig");
        reading.Source.Content.Should().Be("rate 48 kHz\n");
    }

    [Theory]
    [InlineData("gear/none.rig", FileProblem.NotFound)]
    [InlineData("none/desk.rig", FileProblem.NotFound)]
    [InlineData("gear/desk.rig/more.rig", FileProblem.NotFound)]
    [InlineData("gear", FileProblem.Unreadable)]
    [InlineData("../secret.rig", FileProblem.Outside)]
    [InlineData("gear/../../secret.rig", FileProblem.Outside)]
    [InlineData("/etc/hostname", FileProblem.Outside)]
    public void Nothing_else_is(string path, FileProblem problem) => disk.Read(path).Problem.Should().Be(problem);

    [Fact]
    public void Capitals_count()
    {
        disk.Read("Gear/desk.rig").Should().Be(FileReading.Failed(FileProblem.WrongCase, "gear/desk.rig"));
        disk.Read("gear/DESK.rig").Should().Be(FileReading.Failed(FileProblem.WrongCase, "gear/desk.rig"));
    }

    [Fact]
    public void A_link_may_not_lead_out()
    {
        File.CreateSymbolicLink(session.PathOf("plans/linked.rig"), "../secret.rig");
        Directory.CreateSymbolicLink(session.PathOf("plans/up"), session.Folder);

        disk.Read("linked.rig").Problem.Should().Be(FileProblem.ThroughLink);
        disk.Read("up/secret.rig").Problem.Should().Be(FileProblem.ThroughLink);
    }

    [Fact]
    public void A_link_may_lead_to_another_place_inside_and_the_folder_itself_may_be_one()
    {
        File.CreateSymbolicLink(session.PathOf("plans/linked.rig"), "gear/desk.rig");
        Directory.CreateSymbolicLink(session.PathOf("other"), session.PathOf("plans"));

        disk.Read("linked.rig").Problem.Should().Be(FileProblem.None);
        new Disk(session.PathOf("other")).Read("linked.rig").Problem.Should().Be(FileProblem.None);
    }

    [Fact]
    public void A_link_to_itself_is_no_file()
    {
        File.CreateSymbolicLink(session.PathOf("plans/loop.rig"), "loop.rig");

        disk.Read("loop.rig").Source.Should().BeNull();
    }

    [Fact]
    public void Only_UTF_8_is_text()
    {
        Reading([.. "fee\n"u8, 0xE9]).Should().Be((FileProblem.NotText, "the byte E9 in line 2"));
        Reading([.. "a\nb\n"u8, 0]).Should().Be((FileProblem.NotText, "a zero byte in line 3"));
        Reading(Encoding.Unicode.GetPreamble()).Should().Be((FileProblem.NotText, "it is UTF-16; save it as UTF-8"));
        Reading([.. Encoding.UTF8.GetPreamble(), .. "rate 48 kHz\n"u8]).Should().Be((FileProblem.None, null));
        Reading([]).Should().Be((FileProblem.None, null));

        (FileProblem, string?) Reading(byte[] bytes)
        {
            using var stream = new MemoryStream(bytes);
            var reading = PlanText.Read("x.rig", stream);
            return (reading.Problem, reading.Detail);
        }
    }

    [Fact]
    public void What_is_larger_than_a_plan_may_be_is_not_read()
    {
        using (var large = File.Create(session.PathOf("plans/large.rig"))) large.SetLength(PlanText.MostBytes + 1);

        disk.Read("large.rig").Should().Be(FileReading.Failed(FileProblem.TooLarge, "33 MB, where 32 MB is the most"));
    }

    [Fact]
    public void Replacing_keeps_permissions_links_and_byte_order_mark_and_leaves_nothing_behind()
    {
        var desk = session.PathOf("plans/gear/desk.rig");
        File.SetUnixFileMode(desk, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead);
        File.CreateSymbolicLink(session.PathOf("plans/linked.rig"), "gear/desk.rig");

        Replacement.Write(session.PathOf("plans/linked.rig"), "\uFEFFrate 96 kHz\n");

        new FileInfo(session.PathOf("plans/linked.rig")).LinkTarget.Should().Be("gear/desk.rig");
        File.ReadAllBytes(desk).Should().Equal([0xEF, 0xBB, 0xBF, .. "rate 96 kHz\n"u8]);
        File.GetUnixFileMode(desk).Should().Be(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead);
        Directory.GetFiles(session.PathOf("plans/gear")).Should().ContainSingle();
    }

    [Fact]
    public void A_file_that_may_not_be_written_stays_as_it_is()
    {
        var desk = session.PathOf("plans/gear/desk.rig");
        File.SetUnixFileMode(desk, UnixFileMode.UserRead);

        var writing = () => Replacement.Write(desk, "");

        writing.Should().Throw<IOException>().WithMessage("it is read-only");
        File.ReadAllText(desk).Should().Be("rate 48 kHz\n");
        Directory.GetFiles(session.PathOf("plans/gear")).Should().ContainSingle();
    }
}
