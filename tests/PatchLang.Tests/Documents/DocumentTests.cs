using System.Text.RegularExpressions;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Documents;

/// <summary>What the pages of the repository show is what the compiler reads.</summary>
public sealed partial class DocumentTests
{
    private static readonly string[] Pages = ["README.md", "DEVELOPERS.md", "grammar/reference.md"];

    public static TheoryData<string, int> Plans
    {
        get
        {
            var plans = new TheoryData<string, int>();
            foreach (var page in Pages)
                foreach (var plan in Document.Read(page).Plans) plans.Add(page, plan.Line);
            return plans;
        }
    }

    [Theory]
    [MemberData(nameof(Plans))]
    public void A_plan_on_a_page_gives_what_it_says_and_nothing_else(string page, int line)
    {
        var document = Document.Read(page);
        var plan = document.Plans.Single(p => p.Line == line);
        var compilation = Compilation.Create(new SourceText(plan.Name ?? "page.rig", plan.Text), document.FileAt);
        var findings = compilation.Findings.Where(f => f.Severity >= Severity.Warning).ToList();

        // A plan with a name is taken in by others: what it declares need not be used in it.
        if (plan.Name is not null) findings.RemoveAll(f => f.Code == LooseEndFindings.Unused.Code);
        // And those that take it in answer for themselves alone.
        else findings.RemoveAll(f => f.Place.Source.Path != "page.rig");

        findings.Select(f => f.Code).Distinct().Should().BeEquivalentTo(plan.Codes, $"line {line} of {page} says so, and found is {string.Join("; ", findings.Select(f => f.Message))}");
    }

    [Theory]
    [MemberData(nameof(Plans))]
    public void A_plan_on_a_page_is_tidy(string page, int line)
    {
        var plan = Document.Read(page).Plans.Single(p => p.Line == line);
        Tidy.Format(SyntaxTree.Parse(new SourceText("page.rig", plan.Text))).Should().Be(plan.Text);
    }

    [Fact]
    public void The_reference_has_every_word_of_the_grammar()
    {
        var reference = Document.Read("grammar/reference.md").Text;
        var lexer = Document.Read("grammar/PatchLexer.g4").Text;
        var words = lexer.Split('\n').TakeWhile(l => !l.StartsWith("CODE", StringComparison.Ordinal))
            .Where(l => !l.StartsWith("//", StringComparison.Ordinal))
            .SelectMany(l => l.Split('\'').Where((_, i) => i % 2 == 1))
            .Where(w => !w.StartsWith('\\')).ToList();
        words.Should().HaveCountGreaterThan(100);
        words.Where(w => !reference.Contains(w, StringComparison.Ordinal)).Should().BeEmpty();
        words.Where(w => char.IsAsciiLetter(w[0]) && !reference.Contains($"`{w}`", StringComparison.Ordinal) && !reference.Contains($"`{w} ", StringComparison.Ordinal)).Should().BeEmpty();
    }

    [Fact]
    public void The_reference_has_every_setting_that_the_compiler_knows()
    {
        var reference = Document.Read("grammar/reference.md").Text;
        var settings = Directory.EnumerateFiles(Path.Combine(Document.Top(), "src/PatchLang"), "*.cs", SearchOption.AllDirectories)
            .SelectMany(f => SettingOfVocabulary().Matches(File.ReadAllText(f))).Select(m => m.Groups["name"].Value).Distinct().ToList();
        settings.Should().HaveCountGreaterThan(25);
        settings.Where(s => !reference.Contains($"`{s}`", StringComparison.Ordinal) && !reference.Contains($"`{s} = ", StringComparison.Ordinal)).Should().BeEmpty();
    }

    [Theory]
    [InlineData("README.md")]
    [InlineData("DEVELOPERS.md")]
    [InlineData("grammar/reference.md")]
    [InlineData("samples/README.md")]
    public void Every_link_leads_somewhere(string page)
    {
        var document = Document.Read(page);
        foreach (var target in Link().Matches(document.Text).Select(m => m.Groups["target"].Value))
        {
            var parts = target.Split('#');
            var file = parts[0].Length == 0 ? page : Path.Combine(Path.GetDirectoryName(page)!, parts[0]);
            var full = Path.Combine(Document.Top(), file);
            (File.Exists(full) || Directory.Exists(full)).Should().BeTrue($"{page} links to {target}");
            if (parts.Length > 1) HeadingsOf(Document.Read(file)).Should().Contain(parts[1], $"{page} links to {target}");
        }
    }

    private static IEnumerable<string> HeadingsOf(Document document) =>
        document.Text.Split('\n').Where(l => l.StartsWith('#'))
            .Select(l => string.Concat(l.TrimStart('#').Trim().ToLowerInvariant().Where(c => char.IsLetterOrDigit(c) || c is ' ' or '-' or '_')).Replace(' ', '-'));

    [GeneratedRegex("""\("(?<name>\w+)", ValueForm\.""", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex SettingOfVocabulary();

    [GeneratedRegex("""\]\((?<target>[^)]+)\)""", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Link();
}
