using CsCheck;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Conformance.Properties;

/// <summary>What holds of a plan after any edit of it.</summary>
public sealed class EditTests
{
    private static readonly Gen<(Plan Plan, int File, PlanGen.Edit[] Edits)> EditedPlan = Gen.Select(PlanGen.Any, Gen.Int[0, 3], PlanGen.AnyEdit.Array[1, 4]);

    [Fact]
    public void An_edit_gives_what_a_new_compilation_gives() =>
        EditedPlan.Sample(edited =>
        {
            var (plan, file, edits) = edited;
            var compilation = plan.Compile();
            var text = FileOf(compilation, file);
            foreach (var edit in edits)
            {
                text = edit.ApplyTo(text);
                compilation = compilation.With(text);
                var anew = plan.CompileWith(new Dictionary<string, SourceText> { [text.Path] = text });
                Difference(compilation, anew).Should().BeEmpty("this is {0} after an edit:\n{1}", plan.Name, text.Content);
            }
        }, iter: 1_000, threads: 1, print: Print);

    [Fact]
    public void A_finding_lies_in_its_text() =>
        EditedPlan.Sample(edited =>
        {
            var (plan, file, edits) = edited;
            var text = edits.Aggregate(FileOf(plan.Compile(), file), (t, e) => e.ApplyTo(t));
            foreach (var finding in plan.CompileWith(new Dictionary<string, SourceText> { [text.Path] = text }).Findings)
            {
                ShouldLieIn(finding.Place.Source, finding.Place.Span, finding);
                foreach (var related in finding.Related) ShouldLieIn(related.Source, related.Span, finding);
                foreach (var edit in finding.Fixes.SelectMany(f => f.Edits)) ShouldLieIn(edit.Source, edit.Span, finding);
            }
        }, iter: 1_000, threads: 1, print: Print);

    /// <summary>What one compilation says and the other does not, or says elsewhere in the list.</summary>
    private static IEnumerable<string> Difference(Compilation kept, Compilation anew)
    {
        List<string> left = [.. kept.Findings.Select(Whole)], right = [.. anew.Findings.Select(Whole)];
        var said = left.Except(right).Select(f => "after the edit: " + f).Concat(right.Except(left).Select(f => "compiled anew: " + f)).ToList();
        return said.Count == 0 && !left.SequenceEqual(right) ? ["the order differs"] : said;
    }

    /// <summary>One of the plan's own files.</summary>
    private static SourceText FileOf(Compilation compilation, int file)
    {
        var own = compilation.Trees.Where(t => !t.Source.IsLibrary).ToList();
        return own[file % own.Count].Source;
    }

    private static void ShouldLieIn(SourceText source, TextSpan span, Finding finding)
    {
        span.Start.Should().BeGreaterThanOrEqualTo(0, "this is where {0} stands", finding.Code);
        span.Length.Should().BeGreaterThanOrEqualTo(0, "this is where {0} stands", finding.Code);
        span.End.Should().BeLessThanOrEqualTo(source.Length, "this is where {0} stands", finding.Code);
    }

    /// <summary>All that a reader can see of a finding.</summary>
    private static string Whole(Finding finding) =>
        $"{PlaceOf(finding.Place.Source, finding.Place.Span)} {finding.Code} {finding.Severity}: {finding.Message}"
        + string.Concat(finding.Related.Select(r => $"\n  {PlaceOf(r.Source, r.Span)} {r.Remark}"))
        + string.Concat(finding.Fixes.Select(f => $"\n  {f.Title} {f.IsSafe}" + string.Concat(f.Edits.Select(e => $" {PlaceOf(e.Source, e.Span)} \"{e.NewText}\""))));

    private static string PlaceOf(SourceText source, TextSpan span) => $"{source.Path}:{span.Start}+{span.Length}";

    private static string Print((Plan Plan, int File, PlanGen.Edit[] Edits) edited) => $"{edited.Plan.Name}, file {edited.File}: {string.Join("; ", edited.Edits.AsEnumerable())}";
}
