using System.Text.Json;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Documents;

/// <summary>The capabilities and options that the client declared at initialization. A client that declares none gets the simplest answers.</summary>
internal sealed class Client
{
    private const string Markdown = "markdown";

    private readonly ClientCapabilities capabilities;
    private readonly bool hearsOfChanges;

    public Client(InitializeParams parameters)
    {
        capabilities = parameters.Capabilities ?? new ClientCapabilities();
        hearsOfChanges = parameters.InitializationOptions is { ValueKind: JsonValueKind.Object } wishes && wishes.TryGetProperty("changes", out var changes) && changes.ValueKind == JsonValueKind.True;
        ProcessId = parameters.ProcessId;
        Folders = parameters.WorkspaceFolders is { Length: > 0 } folders ? [.. folders.Select(f => f.Uri)] : parameters.RootUri is { } root ? [root] : [];
        foreach (var encoding in capabilities.General?.PositionEncodings ?? [])
            if (encoding is "utf-8" or "utf-16" or "utf-32")
            {
                EncodingName = encoding;
                break;
            }
        Positions = new PositionMap(EncodingName switch { "utf-8" => PositionEncoding.Utf8, "utf-32" => PositionEncoding.Utf32, _ => PositionEncoding.Utf16 });
    }

    /// <summary>The process whose end also ends the server; null if none was given.</summary>
    public int? ProcessId { get; }

    /// <summary>The folders that are open at initialization, as URIs.</summary>
    public IReadOnlyList<string> Folders { get; }

    /// <summary>The position encoding, in the protocol's words: the first of those offered by the client that the server supports.</summary>
    public string EncodingName { get; } = "utf-16";

    public PositionMap Positions { get; }

    /// <summary>Whether it wants to be notified of changed plans, which only clients with extensions to the protocol ask for.</summary>
    public bool HearsOfChanges => hearsOfChanges;

    /// <summary>Whether it requests diagnostics; if not, they are pushed.</summary>
    public bool PullsDiagnostics => capabilities.TextDocument?.Diagnostic is not null;

    public bool RefreshesDiagnostics => capabilities.Workspace?.Diagnostics?.RefreshSupport == true;

    public bool RefreshesHints => capabilities.Workspace?.InlayHint?.RefreshSupport == true;

    public bool RefreshesLenses => capabilities.Workspace?.CodeLens?.RefreshSupport == true;

    public bool RefreshesTokens => capabilities.Workspace?.SemanticTokens?.RefreshSupport == true;

    public bool ShowsRelated => capabilities.TextDocument?.PublishDiagnostics?.RelatedInformation == true;

    public bool ShowsCodeDescription => capabilities.TextDocument?.PublishDiagnostics?.CodeDescriptionSupport == true;

    public bool ShowsUnnecessary => capabilities.TextDocument?.PublishDiagnostics?.TagSupport?.ValueSetItems?.Contains((int)DiagnosticTag.Unnecessary) == true;

    public bool ReadsVersions => capabilities.TextDocument?.PublishDiagnostics?.VersionSupport == true;

    public bool ShowsProgress => capabilities.Window?.WorkDoneProgress == true;

    public bool RegistersWatchers => capabilities.Workspace?.DidChangeWatchedFiles?.DynamicRegistration == true;

    public bool EditsVersionedDocuments => capabilities.Workspace?.WorkspaceEdit?.DocumentChanges == true;

    public bool AsksBeforeRenaming => capabilities.TextDocument?.Rename?.PrepareSupport == true;

    public bool AsksBeforeRenamingFiles => capabilities.Workspace?.FileOperations?.WillRename == true;

    /// <summary>Whether it can request documents that are not files; other clients get files instead.</summary>
    public bool FetchesContent => capabilities.Workspace?.TextDocumentContent is not null;

    public bool TakesSnippets => capabilities.TextDocument?.Completion?.CompletionItem?.SnippetSupport == true;

    /// <summary>
    /// Whether it handles every kind of completion item; if not, only those of the protocol's first version. By the protocol, a client that
    /// lists kinds also tolerates others.
    /// </summary>
    public bool ShowsAllCompletionKinds => capabilities.TextDocument?.Completion?.CompletionItemKind?.ValueSetItems is not null;

    /// <summary>Whether it handles every kind of document symbol; if not, only those of the protocol's first version.</summary>
    public bool ShowsAllDocumentSymbols => capabilities.TextDocument?.DocumentSymbol?.SymbolKind?.ValueSetItems is not null;

    /// <summary>The same for workspace symbols.</summary>
    public bool ShowsAllWorkspaceSymbols => capabilities.Workspace?.Symbol?.SymbolKind?.ValueSetItems is not null;

    public string CompletionMarkup => MarkupOf(capabilities.TextDocument?.Completion?.CompletionItem?.DocumentationFormat);

    public string HoverMarkup => MarkupOf(capabilities.TextDocument?.Hover?.ContentFormat);

    public string SignatureMarkup => MarkupOf(capabilities.TextDocument?.SignatureHelp?.SignatureInformation?.DocumentationFormat);

    public bool TakesDefinitionLinks => capabilities.TextDocument?.Definition?.LinkSupport == true;

    public bool TakesDeclarationLinks => capabilities.TextDocument?.Declaration?.LinkSupport == true;

    public bool TakesTypeDefinitionLinks => capabilities.TextDocument?.TypeDefinition?.LinkSupport == true;

    public bool ShowsSymbolTrees => capabilities.TextDocument?.DocumentSymbol?.HierarchicalDocumentSymbolSupport == true;

    public bool TakesCodeActions => capabilities.TextDocument?.CodeAction?.CodeActionLiteralSupport is not null;

    public bool PrefersActions => capabilities.TextDocument?.CodeAction?.IsPreferredSupport == true;

    private static string MarkupOf(string[]? formats) => formats?.Contains(Markdown) == true ? Markdown : "plaintext";
}
