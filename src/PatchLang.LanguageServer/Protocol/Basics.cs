namespace PatchLang.LanguageServer.Protocol;

// The messages of the Language Server Protocol, version 3.17, as far as they are used. Names are the protocol's, whose
// specification defines their meaning. Lines and characters count from 0. Fields not declared here are ignored.

/// <summary>A position in a document, in the negotiated position encoding.</summary>
internal readonly record struct Position(uint Line, uint Character);

/// <summary>From one position up to, not including, another.</summary>
internal readonly record struct Range(Position Start, Position End);

internal sealed record Location(string Uri, Range Range);

internal sealed record LocationLink(string TargetUri, Range TargetRange, Range TargetSelectionRange)
{
    public Range? OriginSelectionRange { get; init; }
}

internal sealed record TextDocumentIdentifier(string Uri);

internal sealed record TextDocumentPositionParams(TextDocumentIdentifier TextDocument, Position Position);

internal sealed record TextDocumentParams(TextDocumentIdentifier TextDocument);

internal sealed record TextEdit(Range Range, string NewText);

internal sealed record OptionalVersionedTextDocumentIdentifier(string Uri)
{
    /// <summary>The version that the edits apply to; null for a file that is not open. The field is always present.</summary>
    [System.Text.Json.Serialization.JsonIgnore(Condition = System.Text.Json.Serialization.JsonIgnoreCondition.Never)]
    public int? Version { get; init; }
}

internal sealed record TextDocumentEdit(OptionalVersionedTextDocumentIdentifier TextDocument, TextEdit[] Edits);

internal sealed record WorkspaceEdit
{
    public Dictionary<string, TextEdit[]>? Changes { get; init; }

    public TextDocumentEdit[]? DocumentChanges { get; init; }
}

internal sealed record MarkupContent(string Kind, string Value);

internal sealed record Command(string Title, [property: System.Text.Json.Serialization.JsonPropertyName("command")] string Name)
{
    public System.Text.Json.JsonElement[]? Arguments { get; init; }
}

internal sealed record LogMessageParams(MessageType Type, string Message);

internal enum MessageType
{
    Error = 1,
    Warning = 2,
    Info = 3,
    Log = 4,
}

/// <summary>Params of which no field is used.</summary>
internal sealed record NoParams;
