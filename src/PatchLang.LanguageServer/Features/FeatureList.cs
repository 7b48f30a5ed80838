using System.Text.Json.Serialization.Metadata;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Features;

/// <summary>Every question that a client may ask, and what answers it.</summary>
internal static class FeatureList
{
    /// <summary>What the server says that it can do, to a client that can do so much.</summary>
    public static ServerCapabilities CapabilitiesFor(Client client) => new()
    {
        PositionEncoding = client.EncodingName,
        TextDocumentSync = new TextDocumentSyncOptions(OpenClose: true, TextDocumentSyncKind.Incremental),
        DiagnosticProvider = client.PullsDiagnostics ? new DiagnosticOptions(InterFileDependencies: true, WorkspaceDiagnostics: false) : null,
        Workspace = new WorkspaceServerCapabilities
        {
            WorkspaceFolders = new WorkspaceFoldersServerCapabilities(Supported: true, ChangeNotifications: true),
            TextDocumentContent = client.FetchesContent ? new TextDocumentContentOptions([DocumentUri.OwnScheme]) : null,
        },
    };

    /// <summary>Gives each question its answer.</summary>
    public static void AddTo(Connection connection, Func<CancellationToken, Task<Snapshot>> now)
    {
        var json = ProtocolJson.Default;
        On("textDocument/diagnostic", json.DocumentDiagnosticParams, DiagnosticsFeature.Answer);
        On("workspace/textDocumentContent", json.TextDocumentContentParams, ContentFeature.Answer);

        void On<TParams>(string method, JsonTypeInfo<TParams> parameters, Func<Snapshot, TParams, object?> answer) =>
            connection.OnRequest(method, parameters, async (given, cancelled) =>
            {
                var snapshot = await now(cancelled).ConfigureAwait(ConfigureAwaitOptions.ForceYielding);
                return answer(snapshot, given);
            });
    }
}
