using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;

namespace PatchLang.LanguageServer.Features;

/// <summary>Folding ranges: multi-line statements, consecutive <c>use</c> statements, and blocks of comments.</summary>
internal static class FoldingFeature
{
    public static FoldingRange[]? Answer(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var found = new List<FoldingRange>();
        var tree = view.Tree;
        for (var i = 0; i < tree.Count; i++)
        {
            var (first, last) = LinesOf(view, i);
            if (last > first) found.Add(new FoldingRange((uint)first, (uint)last));
            if (tree[i].Kind != NodeKind.Use || (i > 0 && tree[i - 1].Kind == NodeKind.Use)) continue;
            var end = i;
            while (end + 1 < tree.Count && tree[end + 1].Kind == NodeKind.Use) end++;
            if (LinesOf(view, end).Last is var lastUse && lastUse > first) found.Add(new FoldingRange((uint)first, (uint)lastUse) { Kind = "imports" });
        }
        AddRemarks(view, found);
        return [.. found];
    }

    private static (int First, int Last) LinesOf(DocumentView view, int index)
    {
        var span = PlanQueries.SpanOf(view.Tree[index]).Moved(view.Tree.StartOf(index));
        return (view.Source.PositionOf(span.Start).Line, view.Source.PositionOf(span.End).Line);
    }

    private static void AddRemarks(DocumentView view, List<FoldingRange> found)
    {
        var start = -1;
        for (var line = 0; line <= view.Source.LineCount; line++)
        {
            var isRemark = line < view.Source.LineCount && view.Source.Slice(view.Source.LineSpan(line)).TrimStart().StartsWith("//");
            if (isRemark && start < 0) start = line;
            if (isRemark || start < 0) continue;
            if (line - 1 > start) found.Add(new FoldingRange((uint)start, (uint)line - 1) { Kind = "comment" });
            start = -1;
        }
    }
}
