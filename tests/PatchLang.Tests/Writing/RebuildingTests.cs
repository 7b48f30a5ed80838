using System.Text;
using FluentAssertions;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Tests.Syntax;
using PatchLang.Text;
using PatchLang.Writing;
using Xunit;

namespace PatchLang.Tests.Writing;

/// <summary>Whatever can be said in the language can be written: plans that are written again word for word mean the same.</summary>
public sealed class RebuildingTests
{
    private static readonly string Top = FindTop();

    /// <summary>A backslash in quotes is written twice; in this plan it stands for a slash, as its mend says.</summary>
    private const string Backslashes = "tests/Conformance/plans/names/PL0205-backslash.rig";

    /// <summary>Every plan of the repository that can be read: samples, library, and the conformance plans without a finding of text.</summary>
    public static TheoryData<string> Files =>
    [
        .. new[] { "samples", "src/PatchLang/Library", "tests/Conformance/plans" }
            .SelectMany(f => Directory.EnumerateFiles(Path.Combine(Top, f), "*.rig", SearchOption.AllDirectories))
            .Select(f => Path.GetRelativePath(Top, f).Replace('\\', '/'))
            .Where(f => f is not ("samples/large/large.rig" or Backslashes) && IsReadable(f))
            .Order(StringComparer.Ordinal),
    ];

    [Theory]
    [MemberData(nameof(Files))]
    public void A_plan_written_again_has_the_same_words(string file)
    {
        var tree = Read(file);
        try
        {
            ShouldBeRebuilt(tree);
        }
        catch (Exception e) when (e is PlanWritingException or OverflowException or FormatException && (tree.Source.Content.Contains("^ PL0208 ", StringComparison.Ordinal) || tree.Source.Content.Contains("^ PL0311 ", StringComparison.Ordinal)))
        {
            // An index that counts down or is no whole number, a length in ms or a count beyond all integers is refused at the call, and not only when the plan is compiled.
        }
    }

    [Fact]
    public void A_plan_with_every_rule_of_the_grammar_can_be_written()
    {
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", SamplePlan.Text));
        ShouldBeRebuilt(tree);

        var written = SyntaxTree.Parse(new SourceText("plan.rig", Rebuilding.Of(tree).ToString()));
        RulesOf(written).Order().Should().Equal(Enum.GetValues<NodeKind>().Except([NodeKind.Plan, NodeKind.Statement]), "each has a call that writes it");
    }

    private static void ShouldBeRebuilt(SyntaxTree tree)
    {
        var text = Rebuilding.Of(tree).ToString();
        var rebuilt = SyntaxTree.Parse(new SourceText(tree.Source.Path, text));

        rebuilt.Findings.Should().BeEmpty();
        Tidy.Format(rebuilt).Should().Be(text);
        rebuilt.Count.Should().Be(tree.Count);
        for (var i = 0; i < tree.Count; i++)
        {
            WordsOf(rebuilt[i]).Should().Be(WordsOf(tree[i]));
            if (tree[i].Kind != NodeKind.Allow) rebuilt.DocumentationOf(i).TrimEnd().Should().Be(tree.DocumentationOf(i).TrimEnd());
        }
    }

    /// <summary>A statement's tokens. In the braces of a clock the order means nothing, and its sources are written last.</summary>
    private static string WordsOf(Statement statement)
    {
        using var reading = statement.Read();
        var words = new StringBuilder();
        var isSorted = statement.Kind is NodeKind.Gear or NodeKind.Card;
        var all = Enumerable.Range(0, reading.TokenCount).Select(t => reading.TextOf(t).ToString());
        return words.AppendJoin(' ', isSorted ? all.Order(StringComparer.Ordinal) : all).ToString();
    }

    private static HashSet<NodeKind> RulesOf(SyntaxTree tree)
    {
        var rules = new HashSet<NodeKind>();
        for (var i = 0; i < tree.Count; i++)
        {
            using var reading = tree[i].Read();
            Add(reading.Root);
        }
        return rules;

        void Add(SyntaxNode node)
        {
            if (node.Exists) rules.Add(node.Kind);
            foreach (var child in node.Children) Add(child);
        }
    }

    private static bool IsReadable(string file)
    {
        var text = File.ReadAllText(Path.Combine(Top, file));
        var tree = SyntaxTree.Parse(new SourceText(file, text));
        // An allow that belongs to nothing, and a text that is none, can't be written on purpose.
        return tree.Count > 0 && tree.Findings.IsEmpty && tree[tree.Count - 1].Kind != NodeKind.Allow && !text.Contains('\uFFFD', StringComparison.Ordinal);
    }

    private static SyntaxTree Read(string file) => SyntaxTree.Parse(new SourceText(file, File.ReadAllText(Path.Combine(Top, file))));

    private static string FindTop()
    {
        var folder = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(folder, "PatchLang.sln"))) folder = Path.GetDirectoryName(folder)!;
        return folder;
    }
}
