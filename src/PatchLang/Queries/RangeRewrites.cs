using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Expands ranges into single numbers, and folds consecutive numbers into ranges.</summary>
internal static class RangeRewrites
{
    /// <summary>A longer list of numbers would not be readable.</summary>
    private const int MostSpelled = 64;

    /// <summary>The rewrites for the index at the cursor, or for each index in a selection.</summary>
    public static IEnumerable<Rewrite> In(SyntaxTree tree, TextSpan within)
    {
        var (spelled, folded) = (new List<TextChange>(), new List<TextChange>());
        for (var i = Math.Max(0, tree.IndexAt(within.Start)); i < tree.Count && tree.StartOf(i) <= within.End; i++)
        {
            using var reading = tree[i].Read();
            Visit(reading.Root, tree.StartOf(i));
        }
        if (spelled.Count > 0) yield return Made(spelled, "spell the range out", "spell the ranges out");
        if (folded.Count > 0) yield return Made(folded, "fold the numbers to a range", "fold the numbers to ranges");

        void Visit(SyntaxNode node, int start)
        {
            foreach (var child in node.Children)
            {
                if (!child.HasText || !Meets(child.Span.Moved(start), within)) continue;
                // In a declaration, a range declares numbers but a list declares names: there the two differ.
                var isDeclaring = node.Kind is NodeKind.Unit or NodeKind.Feed or NodeKind.Fold;
                if (child.Kind != NodeKind.Index) Visit(child, start);
                else if (!isDeclaring && ItemsOf(child) is { } items)
                {
                    Add(spelled, child, start, Spelled(items));
                    Add(folded, child, start, Folded(items));
                }
            }
        }

        Rewrite Made(List<TextChange> changes, string one, string several) =>
            new(changes.Count == 1 ? $"{one}: {changes[0].NewText}" : several, RewriteSort.Rewriting, TidyChange.Of(tree, changes));
    }

    private static bool Meets(TextSpan span, TextSpan within) => span.Start <= within.End && within.Start <= span.End;

    private static void Add(List<TextChange> changes, SyntaxNode node, int start, string? text)
    {
        if (text is not null) changes.Add(new TextChange(node.Span.Moved(start), text));
    }

    /// <summary>The entries of an index; null if a parameter of gear bounds one, or one makes no sense.</summary>
    private static List<ItemExpression>? ItemsOf(SyntaxNode node)
    {
        if (!node.Reading.Statement.Shape.Errors.IsEmpty || node.Text.Contains('/')) return null; // a comment inside would be lost
        foreach (var item in node.ChildrenOf(NodeKind.Item))
            if (item.Has(TokenKind.Dots) && item.Child(NodeKind.Name).HasText) return null;
        return node.AsIndex() is { } index && index.Items.All(i => i.IsName || (i.From >= 1 && i.To >= i.From)) ? [.. index.Items] : null;
    }

    private static string? Spelled(List<ItemExpression> items)
    {
        if (items.TrueForAll(i => i.IsName || i.To == i.From) || items.Sum(i => i.IsName ? 1L : (long)i.To - i.From + 1) > MostSpelled) return null;
        return Written(items.SelectMany(i => i.IsName ? [i.Name!] : Enumerable.Range(i.From, i.To - i.From + 1).Select(Number)));
    }

    private static string? Folded(List<ItemExpression> items)
    {
        var parts = new List<(int From, int To, string? Name)>();
        foreach (var item in items)
            if (item.Name is null && parts.Count > 0 && parts[^1] is { Name: null } before && before.To < int.MaxValue && item.From == before.To + 1) parts[^1] = (before.From, item.To, null);
            else parts.Add((item.From, item.To, item.Name));
        return parts.Count == items.Count ? null : Written(parts.Select(p => p.Name ?? (p.From == p.To ? Number(p.From) : $"{Number(p.From)}..{Number(p.To)}")));
    }

    private static string Written(IEnumerable<string> parts) => $"[{string.Join(", ", parts)}]";

    private static string Number(int number) => number.ToString(CultureInfo.InvariantCulture);
}
