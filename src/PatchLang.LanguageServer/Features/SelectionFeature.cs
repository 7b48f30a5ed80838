using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>Selection ranges that expand along the syntax tree: word, nodes, statement, file.</summary>
internal static class SelectionFeature
{
    public static SelectionRange[]? Answer(Snapshot snapshot, SelectionRangeParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        return [.. parameters.Positions.Select(p => At(view, view.OffsetOf(p)))];
    }

    private static SelectionRange At(DocumentView view, int offset)
    {
        var spans = new List<TextSpan> { new(0, view.Source.Length) };
        var index = view.Tree.IndexAt(offset);
        if (index >= 0)
        {
            var start = view.Tree.StartOf(index);
            spans.Add(PlanQueries.SpanOf(view.Tree[index]).Moved(start));
            using var reading = view.Tree[index].Read();
            Descend(reading.Root, offset - start, start, spans);
            for (var token = 0; token < reading.TokenCount; token++)
                if (reading.SpanOf(token) is var span && span.Start <= offset - start && offset - start <= span.End) spans.Add(span.Moved(start));
        }
        var caret = new SelectionRange(view.RangeOf(spans[0]));
        for (var i = 1; i < spans.Count; i++)
            if (spans[i] != spans[i - 1] && spans[i - 1].Contains(spans[i]) && Holds(spans[i], offset)) caret = new SelectionRange(view.RangeOf(spans[i])) { Parent = caret };
            else spans[i] = spans[i - 1];
        return caret;
    }

    private static void Descend(SyntaxNode node, int offset, int start, List<TextSpan> spans)
    {
        foreach (var child in node.Children)
        {
            if (!child.HasText || !Holds(child.Span, offset)) continue;
            spans.Add(child.Span.Moved(start));
            Descend(child, offset, start, spans);
            return;
        }
    }

    private static bool Holds(TextSpan span, int offset) => span.Start <= offset && offset <= span.End;
}
