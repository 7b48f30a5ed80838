using System.Xml.Linq;
using FluentAssertions;
using PatchLang.Outputs.Comparison;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Drawings.Writers;
using PatchLang.Outputs.Tests.Drawings;
using Xunit;

namespace PatchLang.Outputs.Tests.Comparison;

/// <summary>The rig with what changes marked.</summary>
public sealed class ChangeDrawingTests
{
    private const string Wedge = "unit wedge : Wedge \"Wedge\"\ncable desk.line[3] -> wedge.line : twisted_pair 20 m \"W\"\n";

    private static string WithWedge => Quay.With(("use \"library/listening.rig\"", "use \"library/listening.rig\"\nuse \"library/ears.rig\"")) + Wedge;

    [Fact]
    public void What_comes_is_new_and_the_rest_is_as_it_was()
    {
        var drawing = Between(Quay.Rig, WithWedge);

        Marked(drawing).Should().BeEquivalentTo("box wedge + new", "line desk.line[3] to wedge.line + new", "port desk.line[3] + new");
    }

    [Fact]
    public void What_goes_is_drawn_where_it_was()
    {
        var drawing = Between(WithWedge, Quay.Rig);

        Marked(drawing).Should().BeEquivalentTo("box wedge \u2212 gone", "line desk.line[3] to wedge.line \u2212 gone", "port desk.line[3] \u2212 gone");
        var wedge = drawing.Boxes.Single(b => b.Name == "wedge");
        (wedge.Title, wedge.Place).Should().Be(("Wedge", null), "the new plan does not say it");
        drawing.Lines.Single(l => l.ToBox == wedge.Number).Style.Should().Be(drawing.Formats.Single(f => f.Name == "analog"));
    }

    [Fact]
    public void What_only_looks_otherwise_is_not_marked() =>
        Marked(Between(Quay.Rig, "// another day\n" + Quay.Rig.Replace("aes67 {", "aes67\n{", StringComparison.Ordinal))).Should().BeEmpty();

    [Theory]
    [InlineData("coax 5 m \"M1\"", "coax 15 m \"M1\"", "line desk.madi to recorder.madi ~ was M1 · 5 m")]
    [InlineData("\"M1\"", "\"M2\"", "line desk.madi to recorder.madi ~ was M1 · 5 m")]
    [InlineData("desk.line[1..2] -> pa.line[1..2] :", "desk.line[1..3] -> pa.line[1..3] :", "line desk.line[1..3] to pa.line[1..3] ~ 1 new")]
    [InlineData("unit rack     : StageRack(32, 16) \"Stage rack\" { place = \"stage left\" }", "unit rack     : StageRack(32, 16) \"Stage rack\" { place = \"stage right\" }", "box rack ~ place")]
    [InlineData("after fader", "after fader -3 dB", "box desk ~ 12 mix settings")]
    public void What_changes_is_told_where_it_is(string old, string @new, string mark) =>
        Marked(Between(Quay.Rig, Quay.With((old, @new)))).Should().Contain(mark);

    [Fact]
    public void A_cable_in_another_socket_went_there_and_came_here()
    {
        var drawing = Between(WithWedge, WithWedge.Replace("desk.line[3] -> wedge", "desk.line[4] -> wedge", StringComparison.Ordinal));

        Marked(drawing).Should().Contain(["line desk.line[3] to wedge.line \u2212 gone", "line desk.line[4] to wedge.line + new"]).And.NotContain(m => m.StartsWith("box wedge", StringComparison.Ordinal));
    }

    [Fact]
    public void A_card_is_taken_out_of_its_host_and_a_network_taken_down()
    {
        var drawing = Between(Quay.Rig, Quay.With(
            (" { expansion = NetCard(64) }", ""), ("join rack.net, desk.expansion.net", "join rack.net"), ("follow desk.expansion from host", ""), ("follow rack from net", "")));

        var desk = drawing.Boxes.Single(b => b.Name == "desk");
        desk.Cards.Single().Highlight!.Sort.Should().Be(HighlightSort.Removed);
        Marked(drawing).Should().Contain(m => m.StartsWith("line ", StringComparison.Ordinal) && m.EndsWith("\u2212 gone", StringComparison.Ordinal));
    }

    [Fact]
    public void What_is_called_otherwise_is_one_box_with_its_cables()
    {
        var drawing = Between(Quay.Rig, Quay.Rig.Replace("recorder", "tape", StringComparison.Ordinal));

        Marked(drawing).Should().Equal("box tape ~ was called recorder");
    }

    [Fact]
    public void The_festival_day_with_much_of_it_changed_is_still_read()
    {
        var old = SamplePlans.Compile("lantern-quay/lantern-quay.rig");
        var @new = SamplePlans.Compile("studio-without-desk/studio-without-desk.rig");

        foreach (var (was, now) in new[] { (old, @new), (@new, old) })
        {
            var drawing = ChangeDrawing.Of(PlanChanges.Between(was, now));
            DrawingTests.CoversNothing(drawing);
            drawing.Boxes.Select(b => b.Highlight?.Sort).Should().Contain([HighlightSort.Added, HighlightSort.Removed]);
            foreach (var unit in was.Rig.Devices.Concat(now.Rig.Devices).Where(d => d.Host is null)) drawing.Boxes.Should().Contain(b => b.Name == unit.Name);
            foreach (var cable in was.Rig.Cables) drawing.Lines.Should().Contain(l => drawing.Boxes[l.FromBox].Name == cable.From.Device.Outermost.Name && drawing.Boxes[l.ToBox].Name == cable.To.Device.Outermost.Name);
            XDocument.Parse(SvgWriter.Write(drawing));
            XDocument.Parse(HtmlWriter.Write(drawing).Replace("<!DOCTYPE html>", "", StringComparison.Ordinal));
        }
    }

    [Fact]
    public void The_same_plans_give_the_same_bytes() =>
        SvgWriter.Write(Between(Quay.Rig, WithWedge)).Should().Be(SvgWriter.Write(Between(Quay.Rig, WithWedge)));

    private static Drawing Between(string old, string @new) => ChangeDrawing.Of(Quay.Between(old, @new));

    /// <summary>Everything that is marked, with its sign and words.</summary>
    private static IEnumerable<string> Marked(Drawing drawing) =>
    [
        .. drawing.Boxes.Where(b => b.Highlight is not null).Select(b => $"box {b.Name} {b.Highlight!.Text}"),
        .. drawing.Lines.Where(l => l.Highlight is not null).Select(l => $"line {l.From} to {l.To} {l.Highlight!.Text}"),
        .. drawing.Boxes.SelectMany(b => b.Ports).Where(p => p.Highlight is not null).Select(p => $"port {p.Name} {p.Highlight!.Text}"),
    ];
}
