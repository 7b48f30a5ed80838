namespace PatchLang.LanguageServer.Protocol;

// Messages of single features, reduced to what is used.

internal sealed record Hover(MarkupContent Contents)
{
    public Range? Range { get; init; }
}

internal sealed record ReferenceParams(TextDocumentIdentifier TextDocument, Position Position, ReferenceContext Context);

internal sealed record ReferenceContext(bool IncludeDeclaration);

internal sealed record RenameParams(TextDocumentIdentifier TextDocument, Position Position, string NewName);

internal sealed record PrepareRenameResult(Range Range, string Placeholder);

internal sealed record DocumentHighlight(Range Range, DocumentHighlightKind Kind);

internal enum DocumentHighlightKind
{
    Text = 1,
    Read = 2,
    Write = 3,
}

internal enum SymbolKind
{
    File = 1,
    Module = 2,
    Namespace = 3,
    Package = 4,
    Class = 5,
    Method = 6,
    Property = 7,
    Field = 8,
    Interface = 11,
    Function = 12,
    Variable = 13,
    Constant = 14,
    String = 15,
    Number = 16,
    Array = 18,
    Object = 19,
    Key = 20,
    Struct = 23,
    Event = 24,
    TypeParameter = 26,
}

internal sealed record DocumentSymbol(string Name, SymbolKind Kind, Range Range, Range SelectionRange)
{
    public string? Detail { get; init; }

    public DocumentSymbol[]? Children { get; init; }
}

internal sealed record SymbolInformation(string Name, SymbolKind Kind, Location Location)
{
    public string? ContainerName { get; init; }
}

internal sealed record WorkspaceSymbolParams(string Query);

internal sealed record SemanticTokensDeltaParams(TextDocumentIdentifier TextDocument, string PreviousResultId);

internal sealed record RangeParams(TextDocumentIdentifier TextDocument, Range Range);

internal sealed record SemanticTokens(TokenNumbers Data)
{
    public string? ResultId { get; init; }
}

internal sealed record SemanticTokensDelta(SemanticTokensEdit[] Edits)
{
    public string? ResultId { get; init; }
}

internal sealed record SemanticTokensEdit(int Start, int DeleteCount, TokenNumbers Data);

internal sealed record FormattingParams(TextDocumentIdentifier TextDocument)
{
    public Range? Range { get; init; }
}

internal sealed record FoldingRange(uint StartLine, uint EndLine)
{
    public string? Kind { get; init; }
}

internal sealed record SelectionRangeParams(TextDocumentIdentifier TextDocument, Position[] Positions);

internal sealed record SelectionRange(Range Range)
{
    public SelectionRange? Parent { get; init; }
}

internal sealed record CodeActionParams(TextDocumentIdentifier TextDocument, Range Range, CodeActionContext Context);

internal sealed record CodeActionContext
{
    public string[]? Only { get; init; }
}

internal sealed record CodeAction(string Title, string Kind)
{
    public Diagnostic[]? Diagnostics { get; init; }

    public bool? IsPreferred { get; init; }

    public WorkspaceEdit? Edit { get; init; }
}

internal sealed record InlayHint(Position Position, string Label)
{
    public string? Tooltip { get; init; }

    public bool? PaddingLeft { get; init; }

    public bool? PaddingRight { get; init; }
}

internal sealed record CodeLens(Range Range, Command Command);

internal sealed record DocumentLink(Range Range, string Target)
{
    public string? Tooltip { get; init; }
}

internal sealed record CallHierarchyItem(string Name, SymbolKind Kind, string Uri, Range Range, Range SelectionRange)
{
    public string? Detail { get; init; }
}

internal sealed record CallHierarchyCallsParams(CallHierarchyItem Item);

internal sealed record CallHierarchyIncomingCall(CallHierarchyItem From, Range[] FromRanges);

internal sealed record CallHierarchyOutgoingCall(CallHierarchyItem To, Range[] FromRanges);

internal sealed record LinkedEditingRanges(Range[] Ranges);

internal sealed record RenameFilesParams(FileRename[] Files);

internal sealed record FileRename(string OldUri, string NewUri);

internal sealed record SignatureHelp(SignatureInformation[] Signatures, int ActiveSignature, int ActiveParameter);

internal sealed record SignatureInformation(string Label)
{
    public MarkupContent? Documentation { get; init; }

    public ParameterInformation[]? Parameters { get; init; }
}

/// <summary>A parameter, given as a substring of the label.</summary>
internal sealed record ParameterInformation(string Label)
{
    public MarkupContent? Documentation { get; init; }
}

internal sealed record CompletionList(bool IsIncomplete, CompletionItem[] Items);

internal sealed record CompletionItem(string Label)
{
    public CompletionItemKind? Kind { get; init; }

    public string? Detail { get; init; }

    public MarkupContent? Documentation { get; init; }

    public string? SortText { get; init; }

    public string? FilterText { get; init; }

    public InsertTextFormat? InsertTextFormat { get; init; }

    public TextEdit? TextEdit { get; init; }
}

internal enum CompletionItemKind
{
    Text = 1,
    Method = 2,
    Function = 3,
    Field = 5,
    Variable = 6,
    Class = 7,
    Interface = 8,
    Module = 9,
    Property = 10,
    Unit = 11,
    Value = 12,
    Keyword = 14,
    Snippet = 15,
    File = 17,
    Reference = 18,
    EnumMember = 20,
    Constant = 21,
    Struct = 22,
    Event = 23,
}

internal enum InsertTextFormat
{
    PlainText = 1,
    Snippet = 2,
}
