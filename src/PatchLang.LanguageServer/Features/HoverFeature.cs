using System.Text;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;

namespace PatchLang.LanguageServer.Features;

/// <summary>Hover: a description of what is under the cursor, with facts from the plan and its documentation.</summary>
internal static class HoverFeature
{
    public static Hover? Answer(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var offset = view.OffsetOf(parameters.Position);
        var queries = view.Plan.Compilation.Queries;
        if (queries.At(view.Tree, offset) is { } at)
            return new Hover(Markup(Description.Of(queries, at), snapshot.Client.HoverMarkup)) { Range = view.RangeOf(at.Span) };
        var index = view.Tree.IndexAt(offset);
        if (index < 0) return null;
        var start = view.Tree.StartOf(index);
        using var reading = view.Tree[index].Read();
        var opener = reading.SpanOf(0);
        if (offset - start > opener.End || StatementWords.MeaningOf(reading.TextOf(0).ToString()) is not { } meaning) return null;
        return new Hover(new MarkupContent(snapshot.Client.HoverMarkup, meaning)) { Range = view.RangeOf(opener.Moved(start)) };
    }

    /// <summary>A description in the markup that the client supports.</summary>
    public static MarkupContent Markup(Description description, string kind)
    {
        var isMarkdown = kind == "markdown";
        var text = new StringBuilder();
        if (isMarkdown) text.Append("```rig\n").Append(description.Heading).Append("\n```\n");
        else text.Append(description.Heading).Append('\n');
        if (description.Documentation.Length > 0) text.Append('\n').Append(description.Documentation).Append('\n');
        if (description.Facts.Length > 0) text.Append('\n');
        foreach (var fact in description.Facts) text.Append("- ").Append(isMarkdown ? Escaped(fact) : fact).Append('\n');
        return new MarkupContent(kind, text.ToString().TrimEnd('\n'));
    }

    /// <summary>Names may contain characters with a meaning in Markdown.</summary>
    private static string Escaped(string text)
    {
        var escaped = new StringBuilder(text.Length);
        foreach (var c in text)
        {
            if (c is '\\' or '`' or '*' or '_' or '[' or ']' or '<' or '>' or '#') escaped.Append('\\');
            escaped.Append(c);
        }
        return escaped.ToString();
    }
}
