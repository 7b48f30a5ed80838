using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Where to insert a new statement in a file: after the last of its kind, or after the kinds that usually precede it.</summary>
internal static class StatementPlace
{
    /// <summary>The usual order of statements.</summary>
    private static readonly NodeKind[] Order =
    [
        NodeKind.Rig, NodeKind.Rate, NodeKind.Use, NodeKind.Act, NodeKind.Format, NodeKind.Gear, NodeKind.Card, NodeKind.Unit, NodeKind.Network, NodeKind.Loom, NodeKind.Cable,
        NodeKind.Timekeeper, NodeKind.Follow, NodeKind.Reserve, NodeKind.Feed, NodeKind.Bundle, NodeKind.Insert, NodeKind.Expect,
    ];

    /// <summary>The change that inserts a statement, with blank lines as usual in the file.</summary>
    /// <param name="tree">The file.</param>
    /// <param name="kind">The statement's kind.</param>
    /// <param name="text">The statement, without a line break at the end.</param>
    public static TextChange Of(SyntaxTree tree, NodeKind kind, string text)
    {
        for (var place = Array.IndexOf(Order, kind); place >= 0; place--)
        {
            var last = LastOf(tree, Order[place]);
            if (last < 0) continue;
            var at = EndOfLine(tree, last);
            // Blank lines separate multi-line statements, and statements of different kinds.
            var isNeighbour = Order[place] == kind && kind is not (NodeKind.Gear or NodeKind.Card or NodeKind.Format or NodeKind.Network);
            return new TextChange(new TextSpan(at, 0), (isNeighbour ? "\n" : "\n\n") + text + (last + 1 < tree.Count && !isNeighbour && !IsBlankBehind(tree, at) ? "\n" : ""));
        }
        if (tree.Count == 0) return new TextChange(new TextSpan(tree.Source.Length, 0), (tree.Source.Length > 0 && tree.Source.Content[^1] != '\n' ? "\n" : "") + text + "\n");
        return new TextChange(new TextSpan(AheadOfRemarks(tree), 0), text + "\n\n");
    }

    private static int LastOf(SyntaxTree tree, NodeKind kind)
    {
        for (var i = tree.Count - 1; i >= 0; i--)
            if (tree[i].Kind == kind) return i;
        return -1;
    }

    private static int EndOfLine(SyntaxTree tree, int index)
    {
        var end = PlanQueries.SpanOf(tree[index]).Moved(tree.StartOf(index)).End;
        var line = tree.Source.LineSpan(tree.Source.PositionOf(end).Line).End;
        return index + 1 < tree.Count ? Math.Min(line, tree.StartOf(index + 1)) : line;
    }

    private static bool IsBlankBehind(SyntaxTree tree, int at)
    {
        var line = tree.Source.PositionOf(at).Line;
        return line + 1 >= tree.Source.LineCount || tree.Source.Slice(tree.Source.LineSpan(line + 1)).IsWhiteSpace();
    }

    /// <summary>The start of the first statement, or of the comments directly above it.</summary>
    private static int AheadOfRemarks(SyntaxTree tree)
    {
        var line = tree.Source.PositionOf(tree.StartOf(0)).Line;
        while (line > 0 && tree.Source.Slice(tree.Source.LineSpan(line - 1)).TrimStart().StartsWith("//")) line--;
        return Math.Min(tree.StartOf(0), tree.Source.LineSpan(line).Start);
    }
}
