using System.Text;
using CsCheck;
using FluentAssertions;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Syntax;

public sealed class SyntaxTreeTests
{
    [Theory]
    [InlineData("", 0)]
    [InlineData("  // only a remark\n", 0)]
    [InlineData("unit a : B unit c : D", 2)]
    [InlineData("feed x : rack.mic[1\nfeed y : rack.mic[2]", 2)]
    [InlineData("gear X { in a : b\ngear Y { in feed : b }", 3)] // a reserved word opens a statement at any depth
    [InlineData("feed \"the feed\" : x // feed y\n/* feed z */", 1)]
    [InlineData("unit a : B\nfee x : y\nunit c : D", 3)] // a misspelt opening word costs its own statement only
    [InlineData("unit a : B fee x : y", 1)]
    [InlineData("act a\nafter b", 1)]
    [InlineData("follow from\nnet from net", 2)] // `from` is the clock's name here
    [InlineData("follow a from\nnet", 1)]
    [InlineData("gear X {\n  out a : b\n  flag\n}", 1)]
    [InlineData("hello\nworld\nrig \"x\"", 3)]
    [InlineData("\uFEFFrig \"x\"", 1)]
    public void A_text_has_this_many_statements(string text, int count)
    {
        var tree = Parse(text);
        tree.Count.Should().Be(count);
        ShouldBeLossless(tree);
    }

    [Theory]
    [InlineData("")]
    [InlineData("/*\nfeed no : statement\nfeed none : either\n*/")] // what looks like statements in the middle are none
    [InlineData("/*\nfeed in : an.open[1] /* comment")]
    [InlineData("fed misspelt : a.b[1]\nfed again : a.b[2]")]
    [InlineData("feed \"open\nfeed on : the.next line\n")]
    public void A_large_text_is_split_in_two_places_at_once_as_it_would_be_in_one(string between)
    {
        var half = string.Concat(Enumerable.Range(0, 4_000).Select(i => $"feed c{i} \"Line {i}\" : rack.mic[{i}] -> desk.ch[{i}]\n"));
        var text = half + string.Concat(Enumerable.Repeat(between + "\n", between.Length == 0 ? 0 : 2_000)) + half;
        var tree = Parse(text);
        ShouldBeLossless(tree);
        var splitter = new Splitter(text, 0);
        for (var i = 0; i < tree.Count; i++)
        {
            splitter.MoveNext().Should().BeTrue();
            tree.StartOf(i).Should().Be(splitter.Start);
            tree[i].Shape.Tokens.AsSpan().SequenceEqual(splitter.Kinds).Should().BeTrue();
        }
        splitter.MoveNext().Should().BeFalse();
    }

    [Fact]
    public void The_header_and_the_statements_are_the_text_whatever_is_in_it() => AnyText.Sample(text => ShouldBeLossless(Parse(text)), iter: 5_000);

    [Fact]
    public void A_statement_is_the_same_alone_as_in_its_file() =>
        AnyText.Sample(text =>
        {
            var tree = Parse(text);
            for (var i = 0; i < tree.Count; i++)
            {
                using var reading = tree[i].Read();
                reading.TokenCount.Should().Be(tree[i].Shape.Tokens.Length);
                for (var t = 0; t < reading.TokenCount; t++) reading.KindOf(t).Should().Be(tree[i].Shape.Tokens[t]);
            }
        }, iter: 5_000);

    [Fact]
    public void After_any_edit_the_tree_is_what_a_new_parse_gives() =>
        Gen.Select(AnyText, Gen.Double.Unit, Gen.Int[0, 30], AnyText, Gen.Bool).Sample((text, where, length, inserted, isWhole) =>
        {
            var start = (int)(where * text.Length);
            var change = new TextChange(new TextSpan(start, Math.Min(length, text.Length - start)), inserted);
            var before = Parse(text);
            var after = isWhole ? before.With(before.Source.With(change)) : before.With(change);
            ShouldEqual(after, Parse(after.Source.Content));
            // And once more, for what the tree remembers of itself.
            change = new TextChange(new TextSpan(start / 2, 0), "*/ feed");
            after = after.With(change);
            ShouldEqual(after, Parse(after.Source.Content));
        }, iter: 10_000);

    internal static readonly Gen<string> AnyText = Gen.OneOf(
        "feed", "unit", "gear", "fee", "rack", "at", "x", "->", ":", ".", ",", "[", "]", "{", "}", "(", ")", "1", "2.5", "m", "kHz", "=",
        "\"label\"", "\"", "//", "/*", "*/", "///", "\n", "\n", "\n", "\r\n", "\r", " ", " ", " ", "\u201C", "\u2192", "é", "\uFEFF", "\uD83C",
        "feed a : rack.mic[1] -> desk.ch[1]\n", "unit desk : Desk48 \"Desk\" { x = 1 }\n", "gear A {\n  in mic[8] : analog\n}\n").Array[0, 40].Select(p => string.Concat(p));

    private static SyntaxTree Parse(string text) => SyntaxTree.Parse(new SourceText("plan.rig", text));

    private static void ShouldBeLossless(SyntaxTree tree)
    {
        var text = new StringBuilder().Append(tree.Source.Slice(tree.Header));
        for (var i = 0; i < tree.Count; i++)
        {
            tree.StartOf(i).Should().Be(text.Length);
            text.Append(tree[i].Text);
        }
        text.ToString().Should().Be(tree.Source.Content);
    }

    private static void ShouldEqual(SyntaxTree found, SyntaxTree expected)
    {
        ShouldBeLossless(found);
        found.Count.Should().Be(expected.Count);
        for (var i = 0; i < found.Count; i++)
        {
            found.StartOf(i).Should().Be(expected.StartOf(i));
            found[i].Text.ToString().Should().Be(expected[i].Text.ToString());
            found[i].Shape.Should().BeSameAs(expected[i].Shape);
        }
        Enumerable.Range(0, found.Count).Select(i => found[i]).Should().OnlyHaveUniqueItems();
        found.Findings.Select(f => (f.Code, f.Message, f.Place.Span)).Should().Equal(expected.Findings.Select(f => (f.Code, f.Message, f.Place.Span)));
    }
}
