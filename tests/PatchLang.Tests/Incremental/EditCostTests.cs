using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Incremental;

/// <summary>
/// What an edit may cost in memory, beside the new text itself: what is rebuilt whole is flat, and little for each statement. Nothing else runs meanwhile,
/// since the count is of all threads.
/// </summary>
[Collection(nameof(EditCostTests))]
[CollectionDefinition(nameof(EditCostTests), DisableParallelization = true)]
public sealed class EditCostTests
{
    private const int Edits = 20;

    // The flat arrays of graph and names, and what checks keep for a while: some numbers for each statement, and nothing of its text.
    private const int BytesPerStatement = 80;

    [Theory]
    [InlineData("\"Line 5000\"", "\"Lead vocal\"")]
    [InlineData("d00624_quay.in1", "d00624_quay.in2")]
    public void An_edit_allocates_little_for_each_statement(string from, string to)
    {
        var text = GeneratedPlan.Text(10_000);
        var place = text.IndexOf(from, StringComparison.Ordinal);
        place.Should().BePositive();
        var sources = (SourceText[])[new("plan.rig", text), new SourceText("plan.rig", text).With(new TextChange(new TextSpan(place, from.Length), to))];
        var compilation = GeneratedPlan.Compile(text);
        for (var i = 0; i < Edits; i++) compilation = compilation.With(sources[i % 2]);
        var findings = compilation.Findings.Length;

        var before = GC.GetTotalAllocatedBytes(precise: true);
        for (var i = 0; i < Edits; i++)
        {
            compilation = compilation.With(sources[i % 2]);
            findings += compilation.Findings.Length;
        }
        var each = (GC.GetTotalAllocatedBytes(precise: true) - before) / Edits;

        each.Should().BeLessThan(compilation.Trees[0].Count * BytesPerStatement);
        GC.KeepAlive(findings);
    }
}
