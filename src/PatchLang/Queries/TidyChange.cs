using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>
/// Turns changes into edits. If the lines around them were tidy, they are formatted again, columns
/// included; if not, only the requested changes are made.
/// </summary>
internal static class TidyChange
{
    /// <summary>Columns never extend past a blank line; in a block longer than this, the lines further away are not reformatted.</summary>
    private const int MostNeighbours = 200;

    /// <summary>The edits for some changes, combined where they are near each other.</summary>
    public static ImmutableArray<TextEdit> Of(SyntaxTree tree, params IReadOnlyList<TextChange> changes) => Made(tree, changes, keepsTidyOnes: false);

    /// <summary>The same, but changes whose result is already tidy are kept exactly as they are.</summary>
    public static ImmutableArray<TextEdit> OfFix(SyntaxTree tree, IReadOnlyList<TextChange> changes) => Made(tree, changes, keepsTidyOnes: true);

    private static ImmutableArray<TextEdit> Made(SyntaxTree tree, IReadOnlyList<TextChange> changes, bool keepsTidyOnes)
    {
        var edits = ImmutableArray.CreateBuilder<TextEdit>();
        var (window, near) = (default(TextSpan), new List<TextChange>());
        foreach (var change in changes.OrderBy(c => c.Span.Start).ThenBy(c => c.Span.End))
        {
            var its = WindowOf(tree, change.Span.Start, change.Span.End);
            if (near.Count > 0 && its.Start > window.End) End();
            window = near.Count == 0 ? its : TextSpan.FromTo(Math.Min(window.Start, its.Start), Math.Max(window.End, its.End));
            near.Add(change);
        }
        End();
        return edits.DrainToImmutable();

        void End()
        {
            if (near.Count > 0) edits.AddRange(EditsOf(tree, window, near, keepsTidyOnes));
            near.Clear();
        }
    }

    private static IEnumerable<TextEdit> EditsOf(SyntaxTree tree, TextSpan window, List<TextChange> changes, bool keepsTidyOnes)
    {
        var before = tree.Source.Slice(window).ToString();
        var after = before;
        for (var i = changes.Count - 1; i >= 0; i--)
            after = string.Concat(after.AsSpan(0, changes[i].Span.Start - window.Start), changes[i].NewText, after.AsSpan(changes[i].Span.End - window.Start));
        // Text inserted before everything else keeps the line breaks that separate it from what follows.
        var tidy = Tidied(before) != before ? after : before.Length > 0 ? Tidied(after) : Tidied(after) + after[after.AsSpan().TrimEnd("\r\n").Length..];
        if (keepsTidyOnes && tidy == after) return changes.Select(c => new TextEdit(tree.Source, c.Span, c.NewText)).ToList();
        after = tidy;
        var start = before.AsSpan().CommonPrefixLength(after);
        var same = 0;
        while (same < Math.Min(before.Length, after.Length) - start && before[^(same + 1)] == after[^(same + 1)]) same++;
        return [new TextEdit(tree.Source, TextSpan.FromTo(window.Start + start, window.End - same), after[start..^same])];
    }

    /// <summary>The span of the statements between two positions, with the neighbours that share columns with them.</summary>
    private static TextSpan WindowOf(SyntaxTree tree, int start, int end)
    {
        var first = tree.IndexAt(start);
        var last = Math.Max(first, tree.IndexAt(end));
        for (var i = 0; i < MostNeighbours && first > 0 && !IsApart(tree, first); i++) first--;
        for (var i = 0; i < MostNeighbours && last + 1 < tree.Count && !IsApart(tree, last + 1); i++) last++;
        var from = first < 0 ? 0 : Math.Min(start, tree.StartOf(first));
        if (last < 0) return TextSpan.FromTo(from, Math.Max(end, from));
        var behind = PlanQueries.SpanOf(tree[last]).Moved(tree.StartOf(last)).End;
        var line = tree.Source.LineSpan(tree.Source.PositionOf(behind).Line).End;
        var next = last + 1 < tree.Count ? tree.StartOf(last + 1) : tree.Source.Length;
        return TextSpan.FromTo(from, Math.Max(end, Math.Min(line, next)));
    }

    /// <summary>Whether there is a blank line between a statement and the one before it.</summary>
    private static bool IsApart(SyntaxTree tree, int index)
    {
        if (index == 0) return true; // there is none before the first
        var start = PlanQueries.SpanOf(tree[index - 1]).Moved(tree.StartOf(index - 1)).End;
        var between = tree.Source.Slice(TextSpan.FromTo(start, tree.StartOf(index)));
        var breaks = 0;
        foreach (var c in between)
            if (c == '\n') breaks++;
            else if (c is not (' ' or '\t' or '\r')) breaks = 0;
            else continue;
        return breaks > 1;
    }

    private static string Tidied(string text) => Tidy.Format(SyntaxTree.Parse(new SourceText("", text))).TrimEnd('\r', '\n');
}
