namespace PatchLang.LanguageServer.Protocol;

internal sealed record TextDocumentItem(string Uri, int Version, string Text);

internal sealed record DidOpenTextDocumentParams(TextDocumentItem TextDocument);

internal sealed record VersionedTextDocumentIdentifier(string Uri, int Version);

internal sealed record DidChangeTextDocumentParams(VersionedTextDocumentIdentifier TextDocument, TextDocumentContentChangeEvent[] ContentChanges);

/// <summary>The new text of a range or, without one, of the whole document.</summary>
internal sealed record TextDocumentContentChangeEvent(string Text)
{
    public Range? Range { get; init; }
}

internal sealed record DidChangeWorkspaceFoldersParams(WorkspaceFoldersChangeEvent Event);

internal sealed record WorkspaceFoldersChangeEvent(WorkspaceFolder[] Added, WorkspaceFolder[] Removed);

internal sealed record DidChangeWatchedFilesParams(FileEvent[] Changes);

internal sealed record DidChangeConfigurationParams
{
    /// <summary>Any JSON, as in the protocol; the settings described in README.md are all optional.</summary>
    public System.Text.Json.JsonElement? Settings { get; init; }
}

internal sealed record FileEvent(string Uri, FileChangeType Type);

internal enum FileChangeType
{
    Created = 1,
    Changed = 2,
    Deleted = 3,
}
