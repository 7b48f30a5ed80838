using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Statements need no line of their own, so <c>during one unit desk …</c> is read as the end of the statement above and the whole of the next.
/// Who writes the act in front means it for what follows. Gives PL0218.
/// </summary>
internal static class LeadingActsCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        for (var f = 0; f < plan.Files.Trees.Length; f++)
        {
            if (plan.Files.Files[f].IsLibrary) continue;
            var tree = plan.Files.Trees[f];
            for (var i = 0; i + 1 < tree.Count; i++)
                if (!EndsItsLine(tree[i]) && tree[i].Shape.IsRead) CheckPair(tree, i, bag);
        }
    }

    // Nearly all statements do: their text goes on to the next one's first token.
    private static bool EndsItsLine(Statement statement) => statement.Text.Span.TrimEnd(" \t") is [.., '\n' or '\r'];

    private static void CheckPair(SyntaxTree tree, int index, DraftBag bag)
    {
        var (statement, next) = (tree[index], tree[index + 1]);
        using var reading = statement.Read();
        if (reading.Root.Child(NodeKind.During) is not { HasText: true } during) return;
        using var following = next.Read();
        var gap = TextSpan.FromTo(tree.StartOf(index) + during.Span.End, tree.StartOf(index + 1) + following.SpanOf(0).Start);
        var before = statement.Text.Span[..during.Span.Start].TrimEnd(" \t");
        if (before is not [.., '\n' or '\r'] || !string.IsNullOrWhiteSpace(tree.Source.Content[gap.Start..gap.End]) || tree.Source.Content.AsSpan(gap.Start, gap.Length).ContainsAny('\n', '\r')) return;

        var written = statement.Text.Span[during.Span.Start..during.Span.End].ToString();
        var end = during.Span.End + Math.Min(gap.Length, statement.Text.Length - during.Span.End);
        bag.Add(new Draft(NameFindings.ActInFront(written, following.TextOf(0).ToString()), during.Anchor())
        {
            Related = [(Anchors.OpenerOf(statement), "it holds for this")],
            Fixes = !next.Shape.IsRead || following.Root.Child(NodeKind.During).HasText ? []
                : [new FixDraft("move it to the end of this line's statement", false, [new EditDraft(new Anchor(statement, TextSpan.FromTo(during.Span.Start, end)), ""), new EditDraft(Anchors.EndOf(next), $" {written}")])],
        });
    }
}
