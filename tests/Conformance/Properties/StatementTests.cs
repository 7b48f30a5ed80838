using CsCheck;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Conformance.Properties;

/// <summary>What holds of the statements of a plan, each by itself.</summary>
public sealed class StatementTests
{
    /// <summary>Two things claim one place, and the text's order decides which of them has it; or it is the lines that matter.</summary>
    private static readonly FindingKind[] Claims = [NameFindings.ActBefore, NameFindings.DuplicateName, ClockFindings.FollowedTwice, CablingFindings.CabledTwice, CablingFindings.LoomWayTwice, FormatFindings.TwoNetworks];

    private static readonly Plan[] Readable =
        [.. PlanGen.All.Where(p => SyntaxTree.Parse(p.Root).Findings.IsEmpty && !p.Compile().Findings.Any(f => Claims.Contains(f.Kind)))];

    [Fact]
    public void Their_order_never_matters() =>
        Gen.Select(Gen.OneOf(Readable), Gen.Int).Sample((plan, seed) =>
        {
            var groups = GroupsOf(SyntaxTree.Parse(plan.Root)).ToArray();
            new Random(seed).Shuffle(groups);
            var shuffled = new SourceText(plan.Root.Path, string.Concat(groups));

            var found = plan.CompileWith(new Dictionary<string, SourceText> { [shuffled.Path] = shuffled }).Findings;

            found.Select(Said).Order().Should().Equal(plan.Compile().Findings.Select(Said).Order(), "this is {0}, shuffled:\n{1}", plan.Name, shuffled.Content);
        }, iter: 1_000, threads: 1, print: p => $"{p.Item1.Name}, seed {p.Item2}");

    [Fact]
    public void Breaking_one_leaves_what_is_said_of_the_others() =>
        Gen.Select(PlanGen.Any, Gen.Double.Unit, Gen.Double.Unit).Sample((plan, which, where) =>
        {
            var tree = SyntaxTree.Parse(plan.Root);
            if (tree.Count == 0) return;
            var broken = (int)(which * tree.Count);
            var text = tree[broken].Text.ToString();
            // Its opening word stays, so that it is still a statement of its own; and it ends with its line, so that the next one opens one.
            var opener = tree[broken].Kind == NodeKind.Statement ? 0 : text.AsSpan().IndexOfAny(" \t\r\n");
            var left = text[..Math.Max(opener, (int)(where * text.Length))] + "\n";

            var after = SyntaxTree.Parse(plan.Root.With(new TextChange(new TextSpan(tree.StartOf(broken), text.Length), left)));

            var moved = left.Length - text.Length;
            SaidOf(tree).Where(f => StatementOf(f.Start) != broken && f.Code != TextFindings.ReservedWord.Code && Opens(StatementOf(f.Start))).Select(f => f.Start < tree.StartOf(broken) ? f : f with { Start = f.Start + moved })
                .Should().BeSubsetOf(SaidOf(after));

            int StatementOf(int position) => tree.IndexAt(position);
            // A line that opens no statement is told from the end of the one before it, so it depends on that one;
            // and so does a reserved word that is a name there, and an opening word where nothing stands before it.
            bool Opens(int statement) => statement >= 0 && tree[statement].Kind != NodeKind.Statement;
        }, iter: 5_000, print: p => $"{p.Item1.Name}, {p.Item2:0.###}, {p.Item3:0.###}");

    /// <summary>The statements, each behind what allows something in it, and each ending its line.</summary>
    private static IEnumerable<string> GroupsOf(SyntaxTree tree)
    {
        var group = tree.Source.Slice(tree.Header).ToString();
        for (var i = 0; i < tree.Count; i++)
        {
            group += tree[i].Text + "\n";
            if (tree[i].Kind == NodeKind.Allow && i + 1 < tree.Count) continue;
            yield return group;
            group = "";
        }
        if (group.Length > 0) yield return group;
    }

    /// <summary>What is found. The sentence may name things in the order of the text, and so may differ.</summary>
    private static string Said(Finding finding) => $"{finding.Code} {finding.Severity}";

    private static IEnumerable<(int Start, string Code)> SaidOf(SyntaxTree tree) => tree.Findings.Select(f => (f.Place.Span.Start, f.Code));
}
