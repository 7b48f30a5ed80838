using System.Runtime.CompilerServices;
using System.Text;
using CsCheck;
using FluentAssertions;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Tests.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Formatting;

/// <summary>What holds for tidying whatever the text is.</summary>
public sealed class TidyPropertyTests
{
    private static readonly string[] Statements =
    [
        .. SplitSample(),
        "unit player : PlaybackPc", "feed x : y -> z { phantom }", "allow PL0907 \"measured on the day\"", "feed x : sum(a, b -3 dB) -> desk.mix[1]",
        "gear G { in a : b  port p : q { in 2 out 2 } clock c { from internal } }", "unit a : B { }", "timekeeper desk { standby rack }",
        "fee x : y", "feed : x", "unit a : \"b", "gear G { in a }", "feed a_name_that_is_long_enough_to_break : another_name.with_a_port[1..16] -> a_third_name.with_a_port[1..16] -> a_fourth.one[1..16]",
    ];

    private static readonly Gen<string> Gap = Gen.Frequency(
        (10, Gen.Const(" ")),
        (2, Gen.Const("\n")),
        (1, Gen.Const("\n\n\n")),
        (1, Gen.OneOf("\r\n", "\t", "  ", "\r")),
        (2, Gen.OneOf(" /* a remark */ ", "/* b */", " // to the end\n", "\n// alone\n", "\n  /* over\n   two lines */\n", " /* over\n two */ ", "/// documentation\n", "\n/// documentation\n", "\n /* a */ // b  \n")));

    private static readonly Gen<string> Plan =
        Gen.OneOf(Statements).SelectMany(s => Tokens(s) is var tokens && tokens.Count == 0 ? Gen.Const(s) : Gap.Array[tokens.Count].Select(gaps => Weave(tokens, gaps)))
            .Array[0, 6].Select(string.Concat);

    [Fact]
    public void Every_statement_keeps_its_tokens_and_its_documentation_whatever_stands_in_the_gaps() => Plan.Sample(ShouldMeanTheSame, iter: 8_000);

    [Fact]
    public void Every_comment_survives_in_its_order() =>
        Plan.Sample(text => CommentsOf(Format(text)).Should().Equal(CommentsOf(text)), iter: 4_000);

    [Fact]
    public void Tidying_twice_changes_nothing() =>
        Plan.Sample(text =>
        {
            var once = Format(text);
            Format(once).Should().Be(once);
        }, iter: 8_000);

    [Fact]
    public void Any_text_at_all_can_be_tidied() =>
        SyntaxTreeTests.AnyText.Sample(text =>
        {
            ShouldMeanTheSame(text);
            var once = Format(text);
            Format(once).Should().Be(once);
        }, iter: 8_000);

    [Fact]
    public void The_edits_make_the_tidy_text() =>
        Plan.Sample(text =>
        {
            var tree = Parse(text);
            var made = new StringBuilder(text);
            foreach (var edit in Tidy.Edits(tree).Reverse()) made.Remove(edit.Span.Start, edit.Span.Length).Insert(edit.Span.Start, edit.NewText);
            made.ToString().Should().Be(Tidy.Format(tree));
        }, iter: 4_000);

    [Theory]
    [InlineData("/* remark */")]
    [InlineData("// remark\n")]
    [InlineData("\n/* remark */\n")]
    [InlineData("\n// remark\n")]
    public void A_comment_in_any_gap_of_the_sample_survives(string comment)
    {
        var tree = Parse(SamplePlan.Text);
        for (var i = 0; i < tree.Count; i++)
        {
            using var reading = tree[i].Read();
            var statement = tree[i].Text.ToString()[..reading.SpanOf(reading.TokenCount).Start];
            for (var t = 1; t <= reading.TokenCount; t++)
            {
                var text = statement.Insert(reading.SpanOf(t - 1).End, $" {comment} ");
                var tidy = Format(text);
                tidy.Should().Contain(comment.Trim());
                ShouldMeanTheSame(text);
                Format(tidy).Should().Be(tidy);
            }
        }
    }

    [Fact]
    public void No_line_of_the_tidy_sample_ends_in_a_blank_or_is_too_long_and_it_stays_as_it_is()
    {
        var tidy = Format(SamplePlan.Text);
        tidy.Split('\n').Should().OnlyContain(l => l.Length <= 120 && l.TrimEnd() == l);
        Format(tidy).Should().Be(tidy);
    }

    [Theory]
    [InlineData("samples/ten-minutes/ten-minutes.rig")]
    [InlineData("samples/lantern-quay/equipment.rig")]
    [InlineData("samples/lantern-quay/monitors.rig")]
    [InlineData("samples/wrong/wrong.rig")]
    [InlineData("src/PatchLang/Library/desks.rig")]
    [InlineData("src/PatchLang/Library/formats.rig")]
    public void However_it_was_typed_a_plan_comes_to_look_the_same(string path)
    {
        var text = File.ReadAllText(Path.Combine(Top(), path)).ReplaceLineEndings("\n");
        Format(WithGaps(text, gap => gap.Count(c => c == '\n') switch { 0 => "", 1 => "\n", _ => "\n\n\n\n" })).Should().Be(text);
        Format(WithGaps(text, gap => gap.Contains('\n') ? string.Concat(Enumerable.Repeat("\n\t", gap.Count(c => c == '\n'))) : " \t ")).Should().Be(text);
    }

    [Theory]
    [InlineData("bundle b : {0}")]
    [InlineData("feed f : sum({0})")]
    [InlineData("feed f : x -> {0}")]
    [InlineData("network n : f {{ join {0} }}")]
    public void A_statement_of_thousands_of_tokens_is_broken_into_lines(string statement)
    {
        var separator = statement.Contains("->", StringComparison.Ordinal) ? " -> " : ", ";
        var tidy = Format(string.Format(statement, string.Join(separator, Enumerable.Range(0, 2_500).Select(i => $"member_{i}"))));
        tidy.Split('\n').Should().OnlyContain(l => l.Length <= 120).And.HaveCountGreaterThan(200);
        Format(tidy).Should().Be(tidy);
    }

    private static void ShouldMeanTheSame(string text)
    {
        var before = Parse(text);
        var after = Parse(Tidy.Format(before));
        after.Count.Should().Be(before.Count);
        for (var i = 0; i < before.Count; i++)
        {
            after[i].Shape.Should().BeSameAs(before[i].Shape);
            after.DocumentationOf(i).Should().Be(before.DocumentationOf(i));
            using var first = before[i].Read();
            using var second = after[i].Read();
            if (before[i].Kind == NodeKind.Statement || !before[i].Shape.Errors.IsEmpty)
                WithOneLineEnd(second.TextOf(second.SpanOf(0, second.TokenCount))).Should().Be(WithOneLineEnd(first.TextOf(first.SpanOf(0, first.TokenCount))));
            for (var t = 0; t < first.TokenCount; t++) WithOneLineEnd(second.TextOf(t)).Should().Be(WithOneLineEnd(first.TextOf(t)));
        }
    }

    // A token with line ends in it is an open comment.
    private static string WithOneLineEnd(ReadOnlySpan<char> text) => text.ToString().Replace("\r\n", "\n", StringComparison.Ordinal).Replace('\r', '\n');

    private static List<string> CommentsOf(string text)
    {
        var comments = new List<string>();
        var end = 0;
        for (var at = 0; ; end = at)
        {
            var isToken = Scanner.Next(text, ref at, out _, out var start);
            // White space inside a comment may change at the ends of its lines only.
            var gap = string.Concat(text.AsSpan(end, start - end).ToString().Where(c => c is not (' ' or '\t' or '\r' or '\n')));
            if (gap.Length > 0) comments.Add(gap);
            if (!isToken) return comments;
        }
    }

    private static List<string> Tokens(string statement)
    {
        var tokens = new List<string>();
        for (var at = 0; Scanner.Next(statement, ref at, out _, out var start);) tokens.Add(statement[start..at]);
        return tokens;
    }

    /// <summary>The text with other white space in the gaps that hold nothing else; where none would join two words, one blank stays.</summary>
    private static string WithGaps(string text, Func<string, string> gapFor)
    {
        var made = new StringBuilder();
        var (previous, end) = (0, 0);
        for (var at = 0; Scanner.Next(text, ref at, out _, out var start); (previous, end) = (start, at))
        {
            var gap = text[end..start];
            var replaced = gap.Length == 0 || gap.Contains('/') ? gap : gapFor(gap);
            if (replaced.Length == 0 && gap.Length > 0 && Tokens(text[previous..end] + text[start..at]) is var joined && (joined.Count != 2 || joined[1] != text[start..at])) replaced = " ";
            made.Append(replaced).Append(text, start, at - start);
        }
        return made.Append(text, end, text.Length - end).ToString();
    }

    private static string Top([CallerFilePath] string thisFile = "") => Path.Combine(Path.GetDirectoryName(thisFile)!, "../../..");

    private static string Weave(List<string> tokens, string[] gaps) => string.Concat(tokens.Zip(gaps, (token, gap) => token + gap));

    private static IEnumerable<string> SplitSample()
    {
        var tree = Parse(SamplePlan.Text);
        return Enumerable.Range(0, tree.Count).Select(i => tree[i].Text.ToString());
    }

    private static string Format(string text) => Tidy.Format(Parse(text));

    private static SyntaxTree Parse(string text) => SyntaxTree.Parse(new SourceText("plan.rig", text));
}
