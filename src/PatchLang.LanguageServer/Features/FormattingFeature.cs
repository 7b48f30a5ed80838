using PatchLang.Formatting;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>Formatting: a document, a part of it, or the line just completed.</summary>
internal static class FormattingFeature
{
    /// <summary>The characters that format the preceding statement when typed.</summary>
    public const string FirstTrigger = "\n";
    public const string OtherTrigger = "}";

    public static TextEdit[]? Document(Snapshot snapshot, FormattingParams parameters) => Answer(snapshot, parameters.TextDocument.Uri, null);

    public static TextEdit[]? Part(Snapshot snapshot, FormattingParams parameters) =>
        Answer(snapshot, parameters.TextDocument.Uri, view => parameters.Range is { } range ? view.Positions.SpanOf(view.Source, range) : TextSpan.FromTo(0, view.Source.Length));

    /// <summary>After a line break, formats the statement before it; nothing at the cursor moves.</summary>
    public static TextEdit[]? OnType(Snapshot snapshot, TextDocumentPositionParams parameters) =>
        Answer(snapshot, parameters.TextDocument.Uri, view =>
        {
            var offset = view.OffsetOf(parameters.Position);
            var before = offset;
            while (before > 0 && char.IsWhiteSpace(view.Source.Content[before - 1])) before--;
            var index = view.Tree.IndexAt(Math.Max(0, before - 1));
            return index < 0 || !view.Tree[index].Shape.IsRead ? default : TextSpan.FromTo(view.Tree.StartOf(index), before);
        });

    private static TextEdit[]? Answer(Snapshot snapshot, string uri, Func<DocumentView, TextSpan>? part)
    {
        if (snapshot.ViewOf(uri) is not { Source.IsLibrary: false } view) return null;
        var within = part?.Invoke(view);
        return [.. Tidy.Edits(view.Tree).Where(e => within is not { } span || span.Contains(e.Span)).Select(e => new TextEdit(view.RangeOf(e.Span), e.NewText))];
    }
}
