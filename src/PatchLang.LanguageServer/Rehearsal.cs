using System.Collections.Immutable;
using System.Text.Json;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Features;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer;

/// <summary>
/// Warm-up: asks what clients ask while the user types, once and for a small plan, and discards the answers. The first answer of each
/// kind takes several times as long as later ones, since code is loaded and tables are built.
/// </summary>
internal static class Rehearsal
{
    private const string Uri = "untitled:rehearsal";

    private const string Plan = """
        rig "Lantern Quay"
        format line { joins point_to_point  way one  time none  medium copper up to 100 m }
        gear Box(n) "box" { in in[n] : line  out out[n] : line  route in -> out fixed }
        unit stage : Box(8) "Stage box" { place = "stage" }
        unit quay : Box(8) "Quay box" { place = "quay" }
        feed lead "Lead" : stage.out[1] -> quay.in[1]
        feed band[1..2] : stage.out[2..3] -> quay.in[2..3]
        expect lead latency <= 5 ms

        """;

    /// <summary>Texts after which completion is requested: for a point, a part, a channel, gear, a statement.</summary>
    private static readonly string[] Ahead = ["[2..3] -> ", "-> quay.", "stage.out[", "unit quay : ", "<= 5 ms\n"];

    /// <summary>The answers, each computed lazily: for the plan as opened, then right after an edit that breaks a name.</summary>
    /// <param name="client">The client they would be for.</param>
    public static IEnumerable<object?> Answers(Client client)
    {
        var opened = OpenDocument.Open(new TextDocumentItem(Uri, 0, Plan));
        var compilation = Compilation.Create(opened.Text, _ => FileReading.Failed(FileProblem.NotFound));
        var place = At(client, opened, "feed lead \"Lead\" : sta").Position;
        var edited = opened.With(1, [new TextDocumentContentChangeEvent("x") { Range = new Protocol.Range(place, place) }], client.Positions);
        return AnswersOf(client, opened, compilation).Concat(AnswersOf(client, edited, compilation.With(edited.Text)));
    }

    private static IEnumerable<object?> AnswersOf(Client client, OpenDocument document, Compilation compilation)
    {
        var documents = ImmutableDictionary<string, OpenDocument>.Empty.Add(document.FullPath, document);
        var snapshot = new Snapshot(client, documents, [new LoadedPlan(document.FullPath, compilation)]);
        foreach (var ahead in Ahead) yield return CompletionFeature.Answer(snapshot, At(client, document, ahead));
        yield return new PublishDiagnosticsParams(Uri, [.. Documents.Diagnostics.ByDocument(snapshot)[Uri]]) { Version = document.Version };
        yield return SignatureHelpFeature.Answer(snapshot, At(client, document, "stage.out["));
        yield return HoverFeature.Answer(snapshot, At(client, document, "-> qu"));
        yield return NavigationFeature.Definition(snapshot, At(client, document, "-> qu"));
        yield return SymbolsFeature.Document(snapshot, new TextDocumentParams(new TextDocumentIdentifier(Uri)));
        yield return new SemanticTokensFeature().Full(snapshot, new TextDocumentParams(new TextDocumentIdentifier(Uri)));
    }

    /// <summary>The position after some text, deserialized like one from a client.</summary>
    private static TextDocumentPositionParams At(Client client, OpenDocument document, string ahead)
    {
        var offset = document.Text.Content.IndexOf(ahead, StringComparison.Ordinal) + ahead.Length;
        var (line, character) = client.Positions.PositionOf(document.Text, offset);
        return JsonSerializer.Deserialize($$$"""{"textDocument":{"uri":"{{{Uri}}}"},"position":{"line":{{{line}}},"character":{{{character}}}}}""", ProtocolJson.Default.TextDocumentPositionParams)!;
    }
}
