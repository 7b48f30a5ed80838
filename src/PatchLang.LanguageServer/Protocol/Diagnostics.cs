namespace PatchLang.LanguageServer.Protocol;

internal sealed record Diagnostic(Range Range, string Message)
{
    public DiagnosticSeverity? Severity { get; init; }

    public string? Code { get; init; }

    public CodeDescription? CodeDescription { get; init; }

    public string? Source { get; init; }

    public DiagnosticTag[]? Tags { get; init; }

    public DiagnosticRelatedInformation[]? RelatedInformation { get; init; }
}

internal enum DiagnosticSeverity
{
    Error = 1,
    Warning = 2,
    Information = 3,
    Hint = 4,
}

internal enum DiagnosticTag
{
    Unnecessary = 1,
    Deprecated = 2,
}

internal sealed record CodeDescription(string Href);

internal sealed record DiagnosticRelatedInformation(Location Location, string Message);

internal sealed record PublishDiagnosticsParams(string Uri, Diagnostic[] Diagnostics)
{
    public int? Version { get; init; }
}

internal sealed record DocumentDiagnosticParams(TextDocumentIdentifier TextDocument)
{
    public string? PreviousResultId { get; init; }
}

/// <summary>All diagnostics of a document, or a statement that they have not changed.</summary>
internal sealed record DocumentDiagnosticReport(string Kind, string ResultId)
{
    public const string Full = "full";
    public const string Unchanged = "unchanged";

    public Diagnostic[]? Items { get; init; }
}

internal sealed record TextDocumentContentParams(string Uri);

internal sealed record TextDocumentContentResult(string Text);
