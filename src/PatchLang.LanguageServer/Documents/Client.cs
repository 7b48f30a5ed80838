using System.Text.Json;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Documents;

/// <summary>What the client said of itself when the session began. One that says nothing gets the plainest answers.</summary>
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

    /// <summary>The process that the server ends with, if one was named.</summary>
    public int? ProcessId { get; }

    /// <summary>The folders that are open at the start, as URIs.</summary>
    public IReadOnlyList<string> Folders { get; }

    /// <summary>What a character of a position is, in the protocol's words: the first of the client's wishes that is known here.</summary>
    public string EncodingName { get; } = "utf-16";

    public PositionMap Positions { get; }

    /// <summary>Whether it wants word of each plan that changed: a wish of clients that show more than the protocol knows of.</summary>
    public bool HearsOfChanges => hearsOfChanges;

    /// <summary>Whether it asks for findings; else they are sent.</summary>
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

    /// <summary>Whether it can ask for documents that are no files; for others there are files.</summary>
    public bool FetchesContent => capabilities.Workspace?.TextDocumentContent is not null;

    public bool TakesSnippets => capabilities.TextDocument?.Completion?.CompletionItem?.SnippetSupport == true;

    /// <summary>Whether it shows every kind of proposal; else those of the protocol's first version alone. A client that names a set takes what is not in it too.</summary>
    public bool ShowsAllCompletionKinds => capabilities.TextDocument?.Completion?.CompletionItemKind?.ValueSetItems is not null;

    /// <summary>Whether it shows every kind of symbol of a document; else those of the protocol's first version alone.</summary>
    public bool ShowsAllDocumentSymbols => capabilities.TextDocument?.DocumentSymbol?.SymbolKind?.ValueSetItems is not null;

    /// <summary>The same of the symbols of all documents.</summary>
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
