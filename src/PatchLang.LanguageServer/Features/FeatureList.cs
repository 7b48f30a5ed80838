using System.Text.Json.Serialization.Metadata;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Features;

/// <summary>All requests that a client can send, with their handlers.</summary>
internal static class FeatureList
{
    /// <summary>The capabilities that the server announces, depending on the client's.</summary>
    public static ServerCapabilities CapabilitiesFor(Client client) => new()
    {
        PositionEncoding = client.EncodingName,
        TextDocumentSync = new TextDocumentSyncOptions(OpenClose: true, TextDocumentSyncKind.Incremental),
        CompletionProvider = new CompletionOptions(CompletionFeature.Triggers),
        HoverProvider = true,
        SignatureHelpProvider = new SignatureHelpOptions(SignatureHelpFeature.Triggers),
        DeclarationProvider = true,
        DefinitionProvider = true,
        TypeDefinitionProvider = true,
        ReferencesProvider = true,
        DocumentHighlightProvider = true,
        DocumentSymbolProvider = true,
        WorkspaceSymbolProvider = true,
        CodeActionProvider = client.TakesCodeActions ? new CodeActionOptions(CodeActionFeature.Kinds) : null,
        CodeLensProvider = new CodeLensOptions(),
        DocumentLinkProvider = new DocumentLinkOptions(),
        DocumentFormattingProvider = true,
        DocumentRangeFormattingProvider = true,
        DocumentOnTypeFormattingProvider = new OnTypeFormattingOptions(FormattingFeature.FirstTrigger) { MoreTriggerCharacter = [FormattingFeature.OtherTrigger] },
        RenameProvider = new RenameOptions(client.AsksBeforeRenaming),
        FoldingRangeProvider = true,
        SelectionRangeProvider = true,
        CallHierarchyProvider = true,
        LinkedEditingRangeProvider = true,
        SemanticTokensProvider = new SemanticTokensOptions(SemanticTokensFeature.Legend, new SemanticTokensFullOptions(Delta: true), Range: true),
        InlayHintProvider = true,
        ExecuteCommandProvider = new ExecuteCommandOptions([ExpectationsFeature.Command]),
        DiagnosticProvider = client.PullsDiagnostics ? new DiagnosticOptions(Diagnostics.Source, InterFileDependencies: true, WorkspaceDiagnostics: false) : null,
        Workspace = new WorkspaceServerCapabilities
        {
            WorkspaceFolders = new WorkspaceFoldersServerCapabilities(Supported: true, ChangeNotifications: true),
            FileOperations = client.AsksBeforeRenamingFiles
                ? new FileOperationServerCapabilities(new FileOperationRegistrationOptions([new FileOperationFilter("file", new FileOperationPattern("**/*.rig"))]))
                : null,
            TextDocumentContent = client.FetchesContent ? new TextDocumentContentOptions([DocumentUri.OwnScheme]) : null,
        },
    };

    /// <summary>Registers the handler of each request.</summary>
    /// <param name="connection">The connection to the client.</param>
    /// <param name="ask">Computes an answer in the state in which the request was sent.</param>
    /// <returns>An action to call with the URI of each document that is closed.</returns>
    public static Action<string> AddTo(Connection connection, Func<Func<Snapshot, object?>, CancellationToken, Task<object?>> ask)
    {
        var json = ProtocolJson.Default;
        var tokens = new SemanticTokensFeature();
        On("textDocument/completion", json.TextDocumentPositionParams, CompletionFeature.Answer);
        On("textDocument/hover", json.TextDocumentPositionParams, HoverFeature.Answer);
        On("textDocument/signatureHelp", json.TextDocumentPositionParams, SignatureHelpFeature.Answer);
        On("textDocument/declaration", json.TextDocumentPositionParams, NavigationFeature.Declaration);
        On("textDocument/definition", json.TextDocumentPositionParams, NavigationFeature.Definition);
        On("textDocument/typeDefinition", json.TextDocumentPositionParams, NavigationFeature.TypeDefinition);
        On("textDocument/references", json.ReferenceParams, ReferencesFeature.Answer);
        On("textDocument/documentHighlight", json.TextDocumentPositionParams, ReferencesFeature.Highlight);
        On("textDocument/documentSymbol", json.TextDocumentParams, SymbolsFeature.Document);
        On("workspace/symbol", json.WorkspaceSymbolParams, SymbolsFeature.Workspace);
        On("textDocument/codeAction", json.CodeActionParams, CodeActionFeature.Answer);
        On("textDocument/codeLens", json.TextDocumentParams, CodeLensFeature.Answer);
        On("textDocument/documentLink", json.TextDocumentParams, LinksFeature.Answer);
        On("workspace/willRenameFiles", json.RenameFilesParams, LinksFeature.Mend);
        On("textDocument/formatting", json.FormattingParams, FormattingFeature.Document);
        On("textDocument/rangeFormatting", json.FormattingParams, FormattingFeature.Part);
        On("textDocument/onTypeFormatting", json.TextDocumentPositionParams, FormattingFeature.OnType);
        On("textDocument/prepareRename", json.TextDocumentPositionParams, RenameFeature.Prepare);
        On("textDocument/rename", json.RenameParams, RenameFeature.Answer);
        On("textDocument/foldingRange", json.TextDocumentParams, FoldingFeature.Answer);
        On("textDocument/selectionRange", json.SelectionRangeParams, SelectionFeature.Answer);
        On("textDocument/prepareCallHierarchy", json.TextDocumentPositionParams, CallHierarchyFeature.Prepare);
        On("callHierarchy/incomingCalls", json.CallHierarchyCallsParams, CallHierarchyFeature.Incoming);
        On("callHierarchy/outgoingCalls", json.CallHierarchyCallsParams, CallHierarchyFeature.Outgoing);
        On("textDocument/linkedEditingRange", json.TextDocumentPositionParams, LinkedEditingFeature.Answer);
        On("textDocument/semanticTokens/full", json.TextDocumentParams, tokens.Full);
        On("textDocument/semanticTokens/full/delta", json.SemanticTokensDeltaParams, tokens.Delta);
        On("textDocument/semanticTokens/range", json.RangeParams, SemanticTokensFeature.Range);
        On("textDocument/inlayHint", json.RangeParams, InlayHintFeature.Answer);
        On("textDocument/diagnostic", json.DocumentDiagnosticParams, DiagnosticsFeature.Answer);
        On("workspace/textDocumentContent", json.TextDocumentContentParams, ContentFeature.Answer);
        On("workspace/executeCommand", json.ExecuteCommandParams, (snapshot, given) => ExpectationsFeature.Run(snapshot, given, connection));
        On("patchlang/expectations", json.PlanQuestion, ExpectationsFeature.Answer);
        On("patchlang/status", json.PlanQuestion, StatusFeature.Answer);
        On("patchlang/drawing", json.DrawingParams, DrawingFeature.Answer);
        On("patchlang/wayAt", json.DrawingParams, DrawingFeature.WayAt);
        On("patchlang/drawingFile", json.DrawingParams, DrawingFeature.File);
        return tokens.Forget;

        void On<TParams>(string method, JsonTypeInfo<TParams> parameters, Func<Snapshot, TParams, object?> answer) =>
            connection.OnRequest(method, parameters, (given, cancelled) => ask(snapshot => answer(snapshot, given), cancelled));
    }
}
