using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Findings;

public class MendingTests
{
    private readonly SourceText quay = new("quay.rig", "follow ears from stage\n");
    private readonly SourceText desks = new("gear/desks.rig", "rate 44 kHz\n");

    [Fact]
    public void Safe_fixes_are_applied_in_every_file()
    {
        var mended = Mending.Of([Found(Safe(Edit(quay, "stage", "net"), Edit(desks, "44", "48"))), Found(Safe(Edit(quay, "ears", "rack")))]);

        mended.Count.Should().Be(2);
        mended.Files.Select(f => (f.Path, f.Content)).Should().BeEquivalentTo(
            [("quay.rig", "follow rack from net\n"), ("gear/desks.rig", "rate 48 kHz\n")]);
    }

    [Fact]
    public void A_fix_that_needs_a_decision_is_not() =>
        Mending.Of([Found(new Fix("either way", false, [Edit(quay, "stage", "net")]))]).Should().BeEquivalentTo(new Mended([], 0));

    [Fact]
    public void Of_several_safe_ones_the_likeliest_is() =>
        Mending.Of([Found(Safe(Edit(quay, "stage", "net")), Safe(Edit(quay, "stage", "host")))]).Files[0].Content.Should().Be("follow ears from net\n");

    [Fact]
    public void A_fix_that_touches_an_earlier_one_waits_and_does_nothing_by_halves()
    {
        var mended = Mending.Of([Found(Safe(Edit(quay, "stage", "net"))), Found(Safe(Edit(quay, "from stage", "from host"), Edit(desks, "44", "48")))]);

        mended.Count.Should().Be(1);
        mended.Files.Should().ContainSingle().Which.Content.Should().Be("follow ears from net\n");
    }

    [Fact]
    public void The_library_is_never_changed()
    {
        var library = new SourceText("library/desks.rig", "rate 44 kHz\n");

        Mending.Of([Found(Safe(Edit(library, "44", "48")))]).Count.Should().Be(0);
    }

    private Finding Found(params Fix[] fixes) => new(ClockFindings.Conflict, "they click", new Place(quay, new TextSpan(0, 6))) { Fixes = [.. fixes] };

    private static Fix Safe(params TextEdit[] edits) => new("mend it", true, [.. edits]);

    private static TextEdit Edit(SourceText source, string old, string text) =>
        new(source, new TextSpan(source.Content.IndexOf(old, StringComparison.Ordinal), old.Length), text);
}
