namespace PatchLang.LanguageServer.Protocol;

internal sealed record TextDocumentItem(string Uri, int Version, string Text);

internal sealed record DidOpenTextDocumentParams(TextDocumentItem TextDocument);

internal sealed record VersionedTextDocumentIdentifier(string Uri, int Version);

internal sealed record DidChangeTextDocumentParams(VersionedTextDocumentIdentifier TextDocument, TextDocumentContentChangeEvent[] ContentChanges);

/// <summary>New text for a range, or, without one, for all of the document.</summary>
internal sealed record TextDocumentContentChangeEvent(string Text)
{
    public Range? Range { get; init; }
}

internal sealed record DidChangeWorkspaceFoldersParams(WorkspaceFoldersChangeEvent Event);

internal sealed record WorkspaceFoldersChangeEvent(WorkspaceFolder[] Added, WorkspaceFolder[] Removed);

internal sealed record DidChangeWatchedFilesParams(FileEvent[] Changes);

internal sealed record DidChangeConfigurationParams
{
    /// <summary>Anything at all, as the protocol has it; of what README.md names, nothing need be there.</summary>
    public System.Text.Json.JsonElement? Settings { get; init; }
}

internal sealed record FileEvent(string Uri, FileChangeType Type);

internal enum FileChangeType
{
    Created = 1,
    Changed = 2,
    Deleted = 3,
}
