using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Protocol;

internal sealed record ServerCapabilities
{
    public string? PositionEncoding { get; init; }

    public TextDocumentSyncOptions? TextDocumentSync { get; init; }

    public CompletionOptions? CompletionProvider { get; init; }

    public bool? HoverProvider { get; init; }

    public SignatureHelpOptions? SignatureHelpProvider { get; init; }

    public bool? DeclarationProvider { get; init; }

    public bool? DefinitionProvider { get; init; }

    public bool? TypeDefinitionProvider { get; init; }

    public bool? ReferencesProvider { get; init; }

    public bool? DocumentHighlightProvider { get; init; }

    public bool? DocumentSymbolProvider { get; init; }

    public CodeActionOptions? CodeActionProvider { get; init; }

    public CodeLensOptions? CodeLensProvider { get; init; }

    public DocumentLinkOptions? DocumentLinkProvider { get; init; }

    public bool? WorkspaceSymbolProvider { get; init; }

    public bool? DocumentFormattingProvider { get; init; }

    public bool? DocumentRangeFormattingProvider { get; init; }

    public OnTypeFormattingOptions? DocumentOnTypeFormattingProvider { get; init; }

    public RenameOptions? RenameProvider { get; init; }

    public bool? FoldingRangeProvider { get; init; }

    public bool? SelectionRangeProvider { get; init; }

    public ExecuteCommandOptions? ExecuteCommandProvider { get; init; }

    public bool? CallHierarchyProvider { get; init; }

    public bool? LinkedEditingRangeProvider { get; init; }

    public SemanticTokensOptions? SemanticTokensProvider { get; init; }

    public bool? InlayHintProvider { get; init; }

    public DiagnosticOptions? DiagnosticProvider { get; init; }

    public WorkspaceServerCapabilities? Workspace { get; init; }
}

internal sealed record TextDocumentSyncOptions(bool OpenClose, TextDocumentSyncKind Change);

internal enum TextDocumentSyncKind
{
    None = 0,
    Full = 1,
    Incremental = 2,
}

internal sealed record CompletionOptions(string[] TriggerCharacters);

internal sealed record SignatureHelpOptions(string[] TriggerCharacters);

internal sealed record CodeActionOptions(string[] CodeActionKinds);

internal sealed record CodeLensOptions;

internal sealed record DocumentLinkOptions;

internal sealed record OnTypeFormattingOptions(string FirstTriggerCharacter)
{
    public string[]? MoreTriggerCharacter { get; init; }
}

/// <summary>
/// The rename capability, and whether renaming can be prepared; for a client that does not support preparing, only the capability is sent.
/// </summary>
[JsonConverter(typeof(RenameOptionsConverter))]
internal sealed record RenameOptions(bool PrepareProvider);

internal sealed record ExecuteCommandOptions(string[] Commands);

internal sealed record SemanticTokensOptions(SemanticTokensLegend Legend, SemanticTokensFullOptions Full, bool Range);

internal sealed record SemanticTokensLegend(string[] TokenTypes, string[] TokenModifiers);

internal sealed record SemanticTokensFullOptions(bool Delta);

internal sealed record DiagnosticOptions(string Identifier, bool InterFileDependencies, bool WorkspaceDiagnostics);

internal sealed record WorkspaceServerCapabilities
{
    public WorkspaceFoldersServerCapabilities? WorkspaceFolders { get; init; }

    public FileOperationServerCapabilities? FileOperations { get; init; }

    /// <summary>A part of version 3.18; only sent to clients that support it.</summary>
    public TextDocumentContentOptions? TextDocumentContent { get; init; }
}

internal sealed record WorkspaceFoldersServerCapabilities(bool Supported, bool ChangeNotifications);

internal sealed record FileOperationServerCapabilities(FileOperationRegistrationOptions WillRename);

internal sealed record FileOperationRegistrationOptions(FileOperationFilter[] Filters);

internal sealed record FileOperationFilter(string Scheme, FileOperationPattern Pattern);

internal sealed record FileOperationPattern(string Glob);

internal sealed record TextDocumentContentOptions(string[] Schemes);
