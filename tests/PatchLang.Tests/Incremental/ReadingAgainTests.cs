using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Syntax;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Incremental;

/// <summary>What an edit reads again: the statements it touches, and never a shape that is known.</summary>
public sealed class ReadingAgainTests
{
    private static readonly string Text = GeneratedPlan.Text(10_000);

    [Fact]
    public void The_parser_runs_once_for_each_shape()
    {
        var shapes = new ShapeCache();

        var tree = SyntaxTree.Parse(new SourceText("plan.rig", Text), shapes);

        tree.Count.Should().BeGreaterThan(12_000);
        shapes.ParserRuns.Should().Be(ShapesIn(tree)).And.BeLessThan(10);
    }

    [Fact]
    public void The_large_sample_is_parsed_once_for_each_of_its_few_shapes()
    {
        var shapes = new ShapeCache();

        var tree = SyntaxTree.Parse(Samples.Read("large/large.rig"), shapes);

        tree.Count.Should().BeGreaterThan(10_000);
        shapes.ParserRuns.Should().Be(ShapesIn(tree)).And.BeLessThan(100);
    }

    [Fact]
    public void All_samples_together_are_parsed_once_for_each_shape()
    {
        var shapes = new ShapeCache();

        var trees = Samples.Files.Select(f => SyntaxTree.Parse(Samples.Read(f), shapes)).ToArray();

        shapes.ParserRuns.Should().Be(trees.SelectMany(ShapesOf).Distinct().Count());
    }

    [Fact]
    public void Another_file_of_known_shapes_is_read_without_the_parser()
    {
        var shapes = new ShapeCache();
        SyntaxTree.Parse(new SourceText("plan.rig", Text), shapes);
        var runs = shapes.ParserRuns;

        SyntaxTree.Parse(new SourceText("larger.rig", GeneratedPlan.Text(20_000)), shapes);

        shapes.ParserRuns.Should().Be(runs);
    }

    [Fact]
    public void A_changed_label_makes_one_new_statement_and_no_run_of_the_parser()
    {
        var shapes = new ShapeCache();
        var before = SyntaxTree.Parse(new SourceText("plan.rig", Text), shapes);
        var runs = shapes.ParserRuns;

        var after = before.With(Change("\"Line 5000\"", "\"Lead vocal\""));

        shapes.ParserRuns.Should().Be(runs);
        NewIn(after, before).Should().Equal(before.IndexAt(Text.IndexOf("\"Line 5000\"", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_statement_of_a_new_shape_makes_the_parser_run_once()
    {
        var shapes = new ShapeCache();
        var before = SyntaxTree.Parse(new SourceText("plan.rig", Text), shapes);
        var runs = shapes.ParserRuns;

        var after = before.With(Change("\"Line 5000\"", "\"Line 5000\", \"Line 5000 again\""));

        shapes.ParserRuns.Should().Be(runs + 1);
        NewIn(after, before).Should().ContainSingle();
    }

    [Fact]
    public void A_statement_put_in_leaves_those_behind_it_as_they_were()
    {
        var shapes = new ShapeCache();
        var before = SyntaxTree.Parse(new SourceText("plan.rig", Text), shapes);
        var runs = shapes.ParserRuns;
        var start = before.StartOf(6_000);

        var after = before.With(new TextChange(new TextSpan(start, 0), "feed extra \"Extra\" : d00000.out1 -> d00001_quay.in4 during out2\n"));

        shapes.ParserRuns.Should().Be(runs);
        after.Count.Should().Be(before.Count + 1);
        for (var i = 6_000; i < before.Count; i++) after[i + 1].Should().BeSameAs(before[i]);
    }

    [Fact]
    public void A_compilation_goes_on_with_the_statements_of_the_one_before()
    {
        var before = GeneratedPlan.Compile(Text);

        var after = before.With(before.Trees[0].Source.With(Change("\"Line 5000\"", "\"Lead vocal\"")));

        NewIn(after.Trees[0], before.Trees[0]).Should().ContainSingle();
    }

    private static TextChange Change(string from, string to) => new(new TextSpan(Text.IndexOf(from, StringComparison.Ordinal), from.Length), to);

    // The places of statements that are not the very ones of the tree before.
    private static List<int> NewIn(SyntaxTree after, SyntaxTree before)
    {
        after.Count.Should().Be(before.Count);
        return [.. Enumerable.Range(0, after.Count).Where(i => !ReferenceEquals(after[i], before[i]))];
    }

    private static int ShapesIn(SyntaxTree tree) => ShapesOf(tree).Distinct().Count();

    private static IEnumerable<Shape> ShapesOf(SyntaxTree tree) => Enumerable.Range(0, tree.Count).Select(i => tree[i].Shape);
}
