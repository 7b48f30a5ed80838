namespace PatchLang.LanguageServer.Protocol;

internal sealed record InitializeParams
{
    public int? ProcessId { get; init; }

    public string? RootUri { get; init; }

    public WorkspaceFolder[]? WorkspaceFolders { get; init; }

    public ClientCapabilities? Capabilities { get; init; }

    /// <summary>Any JSON, as in the protocol; the options described in README.md are all optional.</summary>
    public System.Text.Json.JsonElement? InitializationOptions { get; init; }
}

internal sealed record WorkspaceFolder(string Uri)
{
    public string? Name { get; init; }
}

internal sealed record ClientCapabilities
{
    public GeneralClientCapabilities? General { get; init; }

    public WorkspaceClientCapabilities? Workspace { get; init; }

    public TextDocumentClientCapabilities? TextDocument { get; init; }

    public WindowClientCapabilities? Window { get; init; }
}

internal sealed record GeneralClientCapabilities
{
    public string[]? PositionEncodings { get; init; }
}

internal sealed record WindowClientCapabilities
{
    public bool? WorkDoneProgress { get; init; }
}

internal sealed record Registrable
{
    public bool? DynamicRegistration { get; init; }
}

internal sealed record Refreshable
{
    public bool? RefreshSupport { get; init; }
}

internal sealed record WorkspaceClientCapabilities
{
    public bool? WorkspaceFolders { get; init; }

    public WorkspaceEditClientCapabilities? WorkspaceEdit { get; init; }

    public Registrable? DidChangeWatchedFiles { get; init; }

    public FileOperationClientCapabilities? FileOperations { get; init; }

    public WorkspaceSymbolClientCapabilities? Symbol { get; init; }

    public Refreshable? Diagnostics { get; init; }

    public Refreshable? InlayHint { get; init; }

    public Refreshable? SemanticTokens { get; init; }

    public Refreshable? CodeLens { get; init; }

    /// <summary>Whether the client requests documents that the server provides: a part of version 3.18.</summary>
    public Registrable? TextDocumentContent { get; init; }
}

internal sealed record WorkspaceEditClientCapabilities
{
    public bool? DocumentChanges { get; init; }
}

internal sealed record FileOperationClientCapabilities
{
    public bool? WillRename { get; init; }
}

internal sealed record TextDocumentClientCapabilities
{
    public PublishDiagnosticsClientCapabilities? PublishDiagnostics { get; init; }

    public DiagnosticClientCapabilities? Diagnostic { get; init; }

    public CompletionClientCapabilities? Completion { get; init; }

    public HoverClientCapabilities? Hover { get; init; }

    public SignatureHelpClientCapabilities? SignatureHelp { get; init; }

    public LinkClientCapabilities? Definition { get; init; }

    public LinkClientCapabilities? Declaration { get; init; }

    public LinkClientCapabilities? TypeDefinition { get; init; }

    public DocumentSymbolClientCapabilities? DocumentSymbol { get; init; }

    public CodeActionClientCapabilities? CodeAction { get; init; }

    public RenameClientCapabilities? Rename { get; init; }

    public FoldingRangeClientCapabilities? FoldingRange { get; init; }
}

internal sealed record PublishDiagnosticsClientCapabilities
{
    public bool? RelatedInformation { get; init; }

    public ValueSet? TagSupport { get; init; }

    public bool? VersionSupport { get; init; }

    public bool? CodeDescriptionSupport { get; init; }
}

internal sealed record ValueSet(int[]? ValueSetItems)
{
    [System.Text.Json.Serialization.JsonPropertyName("valueSet")]
    public int[]? ValueSetItems { get; init; } = ValueSetItems;
}

internal sealed record DiagnosticClientCapabilities
{
    public bool? RelatedDocumentSupport { get; init; }
}

internal sealed record CompletionClientCapabilities
{
    public CompletionItemClientCapabilities? CompletionItem { get; init; }

    public ValueSet? CompletionItemKind { get; init; }
}

internal sealed record CompletionItemClientCapabilities
{
    public bool? SnippetSupport { get; init; }

    public string[]? DocumentationFormat { get; init; }
}

internal sealed record HoverClientCapabilities
{
    public string[]? ContentFormat { get; init; }
}

internal sealed record SignatureHelpClientCapabilities
{
    public SignatureInformationClientCapabilities? SignatureInformation { get; init; }
}

internal sealed record SignatureInformationClientCapabilities
{
    public string[]? DocumentationFormat { get; init; }

    public LabelOffsetSupport? ParameterInformation { get; init; }
}

internal sealed record LabelOffsetSupport([property: System.Text.Json.Serialization.JsonPropertyName("labelOffsetSupport")] bool? IsSupported);

internal sealed record LinkClientCapabilities
{
    public bool? LinkSupport { get; init; }
}

internal sealed record DocumentSymbolClientCapabilities
{
    public bool? HierarchicalDocumentSymbolSupport { get; init; }

    public ValueSet? SymbolKind { get; init; }
}

internal sealed record WorkspaceSymbolClientCapabilities
{
    public ValueSet? SymbolKind { get; init; }
}

internal sealed record CodeActionClientCapabilities
{
    /// <summary>If present, the client supports code actions; without it, only commands.</summary>
    public CodeActionLiteralSupport? CodeActionLiteralSupport { get; init; }

    public bool? IsPreferredSupport { get; init; }
}

internal sealed record CodeActionLiteralSupport;

internal sealed record RenameClientCapabilities
{
    public bool? PrepareSupport { get; init; }
}

internal sealed record FoldingRangeClientCapabilities
{
    public bool? LineFoldingOnly { get; init; }
}

internal sealed record InitializeResult(ServerCapabilities Capabilities, ServerInfo ServerInfo);

internal sealed record ServerInfo(string Name, string Version);

internal sealed record RegistrationParams(Registration[] Registrations);

internal sealed record Registration(string Id, string Method)
{
    public WatchedFilesRegistrationOptions? RegisterOptions { get; init; }
}

internal sealed record WatchedFilesRegistrationOptions(FileSystemWatcher[] Watchers);

internal sealed record WorkDoneProgressCreateParams(string Token);

internal sealed record ProgressParams(string Token, WorkDoneProgress Value);

internal sealed record WorkDoneProgress(string Kind)
{
    public const string Begin = "begin";
    public const string End = "end";

    public string? Title { get; init; }
}

internal sealed record FileSystemWatcher(string GlobPattern);
