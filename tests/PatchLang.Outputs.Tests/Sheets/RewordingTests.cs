using FluentAssertions;
using PatchLang.Outputs.Sheets;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Outputs.Tests.Sheets;

/// <summary>A plan that says the same in other words has the same sheets.</summary>
public sealed class RewordingTests
{
    private const int FirstUnits = 4;

    private const string Boxes = """
        rig "Lantern Quay"
        format wire { joins point_to_point  way one  time none  medium copper }
        gear LeftBox "stage box" { in mic[4] : wire { phantom }  out line[4] : wire  route mic -> line fixed }
        gear RightBox "stage box" { in mic[8] : wire { phantom }  out line[8] : wire  route mic -> line fixed }
        gear Desk "desk" { strip ch[8]  in local[16] : wire  out send[2] : wire  route local -> ch free  route ch -> send free }
        gear Echo "echo" { in from : wire  out to : wire  route from -> to fixed }
        unit left  : LeftBox "Left"
        unit right : RightBox "Right"
        unit desk  : Desk "Desk"
        unit echo  : Echo "Tape echo"
        cable left.line -> desk.local[1..4] : copper 7 m "L"
        cable right.line -> desk.local[5..12] : copper 9 m "R"
        cable desk.send[1] -> echo.from : copper 2 m
        cable echo.to -> desk.local[16] : copper 2 m
        feed low : left.mic[1] -> desk.local[1] -> desk.ch[1]
        feed high : right.mic[8] -> desk.local[12] -> desk.ch[2]
        insert desk.ch[1] "Tape echo" : desk.send[1] -> desk.local[16]

        """;

    [Fact]
    public void Gear_that_is_alike_and_ways_that_were_filled_in_may_be_written_otherwise()
    {
        var plan = SamplePlans.CompileText(Boxes);
        Titles(plan).Should().Contain(["make one gear of LeftBox and RightBox", "write out 3 ways"]);
        HoldsInOtherWords(plan);
    }

    [Theory]
    [InlineData("lantern-quay/lantern-quay.rig")]
    [InlineData("studio-without-desk/studio-without-desk.rig")]
    public void So_may_a_sample(string path) => HoldsInOtherWords(SamplePlans.Compile(path));

    private static IEnumerable<string> Titles(Compilation plan) => OfWholeFiles(plan).Select(r => r.Title);

    /// <summary>What may be done to all of a file at once, and to the gear of its first units.</summary>
    private static IEnumerable<Rewrite> OfWholeFiles(Compilation plan)
    {
        foreach (var tree in plan.Trees.Where(t => !t.Source.IsLibrary))
        {
            foreach (var rewrite in Rewrite.In(plan.Queries, plan.Findings, tree, new TextSpan(0, tree.Source.Length), [])) yield return rewrite;
            foreach (var unit in Enumerable.Range(0, tree.Count).Where(i => tree[i].Kind == NodeKind.Unit).Take(FirstUnits))
                if (plan.Queries.In(tree, unit).FirstOrDefault(o => !o.IsDeclaration) is { Subject: not null } gear)
                    foreach (var rewrite in Rewrite.In(plan.Queries, plan.Findings, tree, new TextSpan(gear.Span.Start, 0), []).Where(r => r.Sort == RewriteSort.Extraction)) yield return rewrite;
        }
    }

    private static void HoldsInOtherWords(Compilation plan)
    {
        var (sheets, findings) = (Written(plan), plan.Findings.Select(f => f.Message).Order(StringComparer.Ordinal).ToList());
        foreach (var rewrite in OfWholeFiles(plan))
        {
            var after = plan;
            foreach (var file in rewrite.Edits.GroupBy(e => e.Source))
                after = after.With(file.OrderByDescending(e => e.Span.Start).Aggregate(file.Key, (text, edit) => text.With(new TextChange(edit.Span, edit.NewText))));
            Written(after).Should().Equal(sheets, "\"{0}\" is said of the same rig", rewrite.Title);
            after.Findings.Select(f => f.Message).Order(StringComparer.Ordinal).Should().Equal(findings, rewrite.Title);
        }
    }

    private static List<string> Written(Compilation plan)
    {
        var set = SheetList.Of(plan, "quay", "", "");
        var lines = new List<string> { $"{set.Plan} {set.Banner}" };
        foreach (var sheet in set.Sheets)
        {
            lines.Add($"{sheet.Name} {sheet.Title} {string.Join(' ', sheet.Cautions)}");
            foreach (var section in sheet.Sections)
            {
                lines.Add($"{section.Title}: {string.Join(" | ", section.Columns.Select(c => c.Title))}");
                lines.AddRange(section.Rows.Select(r => string.Join(" | ", r.Cells.Select(c => c.Text))));
            }
        }
        return lines;
    }
}
