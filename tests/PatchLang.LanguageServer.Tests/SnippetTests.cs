using System.Text.RegularExpressions;
using FluentAssertions;
using PatchLang.LanguageServer.Features;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

public sealed partial class SnippetTests
{
    public static TheoryData<string> Words => [.. StatementWords.All.Select(w => w.Word)];

    [Fact]
    public void Every_opening_word_has_a_meaning_and_a_snippet_and_nothing_else_has() =>
        StatementSnippets.All.Keys.Should().BeEquivalentTo(
            Enum.GetValues<TokenKind>().Where(k => k is >= TokenKind.Rig and <= TokenKind.Allow).Select(k => k.ToString().ToLowerInvariant()))
            .And.BeEquivalentTo(StatementWords.All.Select(w => w.Word));

    [Theory]
    [MemberData(nameof(Words))]
    public void A_snippet_with_its_defaults_is_one_statement_that_can_be_read(string word)
    {
        var snippet = StatementSnippets.All[word];
        while (Places().IsMatch(snippet)) snippet = Places().Replace(snippet, "$1");
        var tree = SyntaxTree.Parse(new SourceText("quay.rig", snippet));

        tree.Count.Should().Be(1);
        tree.Findings.Should().BeEmpty();
        snippet.Should().StartWith(word).And.NotContain("$");
    }

    [GeneratedRegex(@"\$\{\d+:([^{}]*)\}")]
    private static partial Regex Places();
}
