using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using FluentAssertions;
using PatchLang.Outputs.Formats;
using PatchLang.Outputs.Sheets;
using Xunit;

namespace PatchLang.Outputs.Tests.Sheets;

/// <summary>The sheets of the festival day, as they are kept beside the tests.</summary>
public sealed partial class LanternQuayTests
{
    private static readonly Compilation Plan = SamplePlans.Compile("lantern-quay/lantern-quay.rig");

    private static readonly SheetSet Quay = SheetList.Of(Plan, "lantern-quay.rig", "3", "2026-06-20");

    [Theory]
    [InlineData("pull-list")]
    [InlineData("cable-schedule")]
    [InlineData("festival-list")]
    [InlineData("input-list-bells")]
    [InlineData("output-list-bells")]
    [InlineData("unit-hub")]
    [InlineData("unit-rack")]
    [InlineData("network")]
    [InlineData("clocks")]
    [InlineData("line-check-tide")]
    [InlineData("line-check-tide-bells")]
    [InlineData("changeover-tide-bells")]
    [InlineData("changeover-bells-ferry")]
    [InlineData("listener-ears-presenter")]
    [InlineData("listener-mixer-keys")]
    [InlineData("spare-channels")]
    public void A_sheet_is_as_it_was_read_and_kept(string name)
    {
        var files = SheetFiles.Of(Quay, SheetFormat.Markdown);

        // Which line it is changes with every line above it; the next test holds the lines.
        LineNumber().Replace(Encoding.UTF8.GetString(files.Single(f => f.Name == $"{name}.md").Content.Span), ".rig").ShouldBeAsKept($"{name}.md");
    }

    [GeneratedRegex(@"\.rig:\d+")]
    private static partial Regex LineNumber();

    [Fact]
    public void Every_row_that_the_plan_writes_says_where()
    {
        foreach (var row in Quay.Sheets.SelectMany(s => s.Sections).SelectMany(s => s.Rows).Where(r => r.Place is not null))
            row.PlaceText.Should().MatchRegex(@"^[a-z-]+\.rig:\d+$");
        foreach (var row in Quay.Sheets.Single(s => s.Name == "festival-list").Sections[0].Rows)
        {
            var (file, line) = (row.PlaceText.Split(':')[0], int.Parse(row.PlaceText.Split(':')[1], CultureInfo.InvariantCulture));
            var text = Plan.Trees.Single(t => t.Source.Path == file).Source;
            text.Slice(text.LineSpan(line - 1)).ToString().Should().StartWith("feed ");
        }
        // Rows without a place are steps that hold for any rig, and lines that nobody uses.
        Quay.Sheets.SelectMany(s => s.Sections).SelectMany(s => s.Rows).Count(r => r.Place is null).Should().BeLessThan(60);
    }

    [Fact]
    public void The_rows_that_the_README_shows_are_those_of_the_sheets()
    {
        var readme = File.ReadAllText(Path.Combine(SamplePlans.Root, "README.md")).ReplaceLineEndings("\n");
        var start = readme.IndexOf("## Sheets\n", StringComparison.Ordinal);
        var shown = readme[start..readme.IndexOf("\n## ", start, StringComparison.Ordinal)].Split('\n').Where(l => l.StartsWith('|')).ToList();
        var lines = SheetFiles.Of(Quay, SheetFormat.Markdown).SelectMany(f => LineNumber().Replace(Encoding.UTF8.GetString(f.Content.Span), ".rig").Split('\n')).ToHashSet();

        shown.Should().HaveCountGreaterThan(30).And.AllSatisfy(line => lines.Should().Contain(line));
    }

    [Fact]
    public void Every_hop_between_connectors_is_in_the_cable_schedule_or_on_the_network_sheet()
    {
        var cables = Quay.Sheets.Single(s => s.Name == "cable-schedule").Sections.SelectMany(s => s.Rows).Select(r => string.Join(' ', r.Cells.Select(c => c.Text))).ToList();
        foreach (var cable in Plan.Rig.Cables) cables.Should().Contain(r => r.Contains(cable.From.ToString()) && r.Contains(cable.To.ToString()));
        var routes = Quay.Sheets.Single(s => s.Name == "network").Sections.Where(s => s.Title.EndsWith("by receiver", StringComparison.Ordinal)).SelectMany(s => s.Rows).Select(r => $"{r.Cells[3].Text} -> {r.Cells[0].Text}[{r.Cells[1].Text}]").ToHashSet();
        for (var edge = 0; edge < Plan.Graph.EdgeCount; edge++)
            if (Plan.Graph.HopOf(edge).Kind == PatchLang.Graph.HopKind.Network)
                routes.Should().Contain($"{Plan.Rig.PointOf(Plan.Graph.FromOf(edge))} -> {Plan.Rig.PointOf(Plan.Graph.ToOf(edge))}");
    }

    [Fact]
    public void Every_inner_route_that_somebody_sets_is_on_its_unit_s_worksheet()
    {
        for (var edge = 0; edge < Plan.Graph.EdgeCount; edge++)
        {
            if (Plan.Graph.HopOf(edge) is not { Kind: PatchLang.Graph.HopKind.Route, Route.Sort: not PatchLang.Declarations.RouteSort.Fixed }) continue;
            var (from, to) = (Plan.Rig.PointOf(Plan.Graph.FromOf(edge)), Plan.Rig.PointOf(Plan.Graph.ToOf(edge)));
            var unit = from.Device.Outermost;
            var rows = rowsOf.TryGetValue(unit.Name, out var known) ? known : rowsOf[unit.Name] = Rows(SheetList.FileName("unit", unit.Name));
            rows.Should().Contain(r => r.Contains(PlanBook.Local(from)) && r.Contains(to.Socket.Name), "{0} -> {1} is set on {2}", from, to, unit.Name);
        }

        static List<string> Rows(string name) => [.. Quay.Sheets.Single(s => s.Name == name).Sections.SelectMany(s => s.Rows).Select(r => string.Join(' ', r.Cells.Select(c => c.Text)))];
    }

    private readonly Dictionary<string, List<string>> rowsOf = [];

    [Fact]
    public void One_act_gives_the_sheets_of_that_act_alone()
    {
        var bells = SheetList.Of(Plan, "lantern-quay.rig", "3", "", PatchLang.Declarations.ActSet.Of(1));

        bells.Sheets.Select(s => s.Name).Should().Contain("input-list-bells").And.NotContain("input-list-tide").And.Contain("changeover-tide-bells").And.NotContain("changeover-bells-ferry");
        bells.Sheets.Where(s => !s.Name.Contains("tide-bells")).SelectMany(s => s.Sections).SelectMany(s => s.Rows).SelectMany(r => r.Cells).Select(c => c.Text)
            .Should().NotContain("Fiddle").And.Contain("Soprano solo");
    }

    [Fact]
    public void The_same_plan_gives_the_same_bytes()
    {
        foreach (var format in Enum.GetValues<SheetFormat>())
        {
            var (first, again) = (SheetFiles.Of(Quay, format), SheetFiles.Of(SheetList.Of(SamplePlans.Compile("lantern-quay/lantern-quay.rig"), "lantern-quay.rig", "3", "2026-06-20"), format));
            first.Select(f => f.Name).Should().Equal(again.Select(f => f.Name));
            first.Zip(again).Should().AllSatisfy(p => p.First.Content.Span.SequenceEqual(p.Second.Content.Span).Should().BeTrue("{0} is the same", p.First.Name));
        }
    }

    [Fact]
    public void The_order_of_statements_does_not_matter()
    {
        const string head = "rig \"Quay\"\nformat wire { joins point_to_point  way one  time none }\ngear Box { in mic[4] : wire  strip ch[4]  route mic -> ch free }\nunit box : Box\n";
        var forth = SheetList.Of(SamplePlans.CompileText(head + "feed a \"A\" : box.mic[1] -> box.ch[1]\nfeed b \"B\" : box.mic[2] -> box.ch[2]\n"), "", "", "");
        var back = SheetList.Of(SamplePlans.CompileText(head + "feed b \"B\" : box.mic[2] -> box.ch[2]\nfeed a \"A\" : box.mic[1] -> box.ch[1]\n"), "", "", "");

        Cells(forth).Should().Equal(Cells(back));

        static IEnumerable<string> Cells(SheetSet set) => set.Sheets.SelectMany(s => s.Sections).SelectMany(s => s.Rows).Select(r => string.Join('|', r.Cells.Select(c => c.Text)));
    }
}
