using System.Collections.Concurrent;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>What each word is, for its colour: with standard types alone, so that every theme has one.</summary>
internal sealed class SemanticTokensFeature
{
    private const int DeclarationBit = 1;
    private const int DocumentationBit = 2;
    private const int LibraryBit = 4;

    /// <summary>The types and modifiers; a token holds their numbers.</summary>
    public static SemanticTokensLegend Legend { get; } = new(
        ["keyword", "number", "string", "operator", "comment", "property", "enumMember", "variable", "function", "class", "type", "namespace", "struct", "event", "parameter", "interface"],
        ["declaration", "documentation", "defaultLibrary"]);

    // The number of each class's type.
    private static readonly int[] Types = Array.ConvertAll(Enum.GetValues<TextClass>(), TypeOf);

    private readonly ConcurrentDictionary<string, (string Id, TokenNumbers Data)> last = new(StringComparer.Ordinal);
    private int lastId;

    public SemanticTokens? Full(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var data = DataOf(view, new TextSpan(0, view.Source.Length));
        return new SemanticTokens(data) { ResultId = Keep(view, parameters.TextDocument.Uri, data) };
    }

    public object? Delta(Snapshot snapshot, SemanticTokensDeltaParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var data = DataOf(view, new TextSpan(0, view.Source.Length));
        var isKnown = last.TryGetValue(parameters.TextDocument.Uri, out var before) && before.Id == parameters.PreviousResultId;
        var id = Keep(view, parameters.TextDocument.Uri, data);
        return isKnown ? new SemanticTokensDelta(data.EditsFrom(before.Data)) { ResultId = id } : new SemanticTokens(data) { ResultId = id };
    }

    public static SemanticTokens? Range(Snapshot snapshot, RangeParams parameters) =>
        snapshot.ViewOf(parameters.TextDocument.Uri) is { } view ? new SemanticTokens(DataOf(view, view.Positions.SpanOf(view.Source, parameters.Range))) : null;

    /// <summary>Lets go what was sent of a document, which is closed.</summary>
    public void Forget(string uri) => last.TryRemove(uri, out _);

    private string Keep(DocumentView view, string uri, TokenNumbers data)
    {
        // So is what was answered after its document was closed.
        if (last.Count > view.Snapshot.Documents.Count)
            foreach (var other in last.Keys.Where(k => !view.Snapshot.Documents.Values.Any(d => d.Uri == k))) last.TryRemove(other, out _);
        var id = Interlocked.Increment(ref lastId).ToString(System.Globalization.CultureInfo.InvariantCulture);
        last[uri] = (id, data);
        return id;
    }

    private static TokenNumbers DataOf(DocumentView view, TextSpan within) =>
        TokenWriter.Joined(Classification.InPieces(view.Plan.Compilation.Queries, view.Tree, within, texts => PieceOf(view, texts)));

    private static TokenWriter PieceOf(DocumentView view, IReadOnlyList<ClassifiedText> texts)
    {
        var writer = new TokenWriter(texts.Count);
        var (line, lineSpan) = (0, view.Source.LineSpan(0));
        foreach (var text in texts)
        {
            // They come in order, several on a line.
            if (text.Span.Start > lineSpan.End) MoveTo(view.Source.PositionOf(text.Span.Start).Line);
            if (text.Span.End <= lineSpan.End)
            {
                Add(text, text.Span);
                continue;
            }
            // A remark of several lines is a token on each.
            for (var end = view.Source.PositionOf(text.Span.End).Line; ; MoveTo(line + 1))
            {
                Add(text, Meet(text.Span, lineSpan));
                if (line == end) break;
            }
        }
        return writer;

        void MoveTo(int to) => (line, lineSpan) = (to, view.Source.LineSpan(to));

        void Add(ClassifiedText text, TextSpan span)
        {
            if (span.Length <= 0) return;
            var character = view.Positions.Measure(view.Source.Slice(TextSpan.FromTo(lineSpan.Start, span.Start)));
            writer.Add(line, character, view.Positions.Measure(view.Source.Slice(span)), Types[(int)text.Class], ModifiersOf(text));
        }
    }

    private static TextSpan Meet(TextSpan one, TextSpan other) => TextSpan.FromTo(Math.Max(one.Start, other.Start), Math.Min(one.End, other.End));

    private static int ModifiersOf(ClassifiedText text) =>
        (text.IsDeclaration ? DeclarationBit : 0) | (text.Class == TextClass.Documentation ? DocumentationBit : 0) | (text.IsLibrary ? LibraryBit : 0);

    private static int TypeOf(TextClass text) => Array.IndexOf(Legend.TokenTypes, text switch
    {
        TextClass.Keyword => "keyword",
        TextClass.Number => "number",
        TextClass.Quoted => "string",
        TextClass.Sign => "operator",
        TextClass.Remark or TextClass.Documentation => "comment",
        TextClass.Setting or TextClass.Part => "property",
        TextClass.Element => "enumMember",
        TextClass.Unit or TextClass.Name => "variable",
        TextClass.Feed => "function",
        TextClass.Gear => "class",
        TextClass.Format => "type",
        TextClass.Network or TextClass.Prefix => "namespace",
        TextClass.Loom => "struct",
        TextClass.Act => "event",
        TextClass.Count => "parameter",
        _ => "interface",
    });
}
