using System.Collections.Concurrent;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>Semantic tokens, with standard types only, so that every theme has a colour for them.</summary>
internal sealed class SemanticTokensFeature
{
    /// <summary>The token types and modifiers; tokens contain their indices.</summary>
    public static SemanticTokensLegend Legend { get; } = new(
        ["keyword", "number", "string", "operator", "comment", "property", "enumMember", "variable", "function", "class", "type", "namespace", "struct", "event", "parameter", "interface"],
        ["declaration", "documentation", "defaultLibrary"]);

    private readonly ConcurrentDictionary<string, (string Id, FileTokens Tokens)> last = new(StringComparer.Ordinal);
    private int lastId;

    public SemanticTokens? Full(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var (id, tokens) = Now(view, parameters.TextDocument.Uri);
        return new SemanticTokens(tokens.Data) { ResultId = id };
    }

    public object? Delta(Snapshot snapshot, SemanticTokensDeltaParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var isKnown = last.TryGetValue(parameters.TextDocument.Uri, out var before) && before.Id == parameters.PreviousResultId;
        var (id, tokens) = Now(view, parameters.TextDocument.Uri);
        return isKnown ? new SemanticTokensDelta(tokens.Data.EditsFrom(before.Tokens.Data)) { ResultId = id } : new SemanticTokens(tokens.Data) { ResultId = id };
    }

    public static SemanticTokens? Range(Snapshot snapshot, RangeParams parameters) =>
        snapshot.ViewOf(parameters.TextDocument.Uri) is { } view ? new SemanticTokens(FileTokens.Of(view, view.Positions.SpanOf(view.Source, parameters.Range))) : null;

    /// <summary>Drops the stored tokens of a closed document.</summary>
    public void Forget(string uri) => last.TryRemove(uri, out _);

    /// <summary>The current tokens of a file, reusing those sent last; they are stored for the next request.</summary>
    private (string Id, FileTokens Tokens) Now(DocumentView view, string uri)
    {
        var tokens = FileTokens.Of(view, last.GetValueOrDefault(uri).Tokens);
        // A request may have been answered after its document was closed: drop what it stored.
        if (last.Count > view.Snapshot.Documents.Count)
            foreach (var other in last.Keys.Where(k => !view.Snapshot.Documents.Values.Any(d => d.Uri == k))) last.TryRemove(other, out _);
        return last[uri] = (Interlocked.Increment(ref lastId).ToString(System.Globalization.CultureInfo.InvariantCulture), tokens);
    }

    /// <summary>The index of the token type for a class.</summary>
    public static int TypeOf(TextClass text) => Array.IndexOf(Legend.TokenTypes, text switch
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
