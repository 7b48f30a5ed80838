using CsCheck;
using FluentAssertions;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Syntax;

/// <summary>The shape of a statement is what the grammar's parser makes of its tokens.</summary>
public sealed class ShapeTests
{
    [Fact]
    public void Valid_text_statement_by_statement_is_what_the_parser_reads_as_a_whole()
    {
        var whole = GrammarParser.Parse(GrammarLexer.Tokens(SamplePlan.Text).Select(t => t.Kind));
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", SamplePlan.Text));

        whole.Errors.Should().BeEmpty();
        tree.Findings.Should().BeEmpty();
        Enumerable.Range(0, tree.Count).Select(i => tree[i].Shape.Nodes.ToArray())
            .Should().BeEquivalentTo(whole.Statements.Select(s => s.ToArray()), o => o.WithStrictOrdering());
    }

    [Fact]
    public void Any_tokens_are_read_and_repaired_as_the_parser_does_it()
    {
        var openers = Gen.Int[(int)TokenKind.Rig, (int)TokenKind.Allow].Select(k => (TokenKind)k);
        var others = Gen.Int[(int)TokenKind.Sum, (int)TokenKind.String].Select(k => (TokenKind)k);
        var strange = Gen.Int[(int)TokenKind.OpenString, (int)TokenKind.Stray].Select(k => (TokenKind)k);
        Gen.Select(openers, Gen.Frequency((9, others), (1, strange)).Array[0, 30], (first, rest) => (TokenKind[])[first, .. rest]).Sample(EqualsParser, iter: 10_000);
    }

    internal static void EqualsParser(TokenKind[] kinds)
    {
        var shape = new ShapeParser().Parse(kinds);
        var (statements, errors) = GrammarParser.Parse(kinds);

        var expected = statements.Should().ContainSingle().Subject.ToArray();
        // What is skipped behind the statement belongs to it.
        expected[0] = expected[0] with { EndToken = kinds.Length };
        shape.Nodes.Should().Equal(expected);
        shape.Errors.Select(e => (e.Token, e.Rule)).Should().Equal(errors.Select(e => (e.Token < 0 ? kinds.Length : e.Token, e.Rule)));
    }
}
