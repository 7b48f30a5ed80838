using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>A document that is open in the client. Immutable.</summary>
/// <param name="Uri">The client's URI.</param>
/// <param name="FullPath">Its path on disk; for a document that is not a file, the URI.</param>
/// <param name="Version">The client's version number of the text.</param>
/// <param name="Text">The text.</param>
internal sealed record OpenDocument(string Uri, string FullPath, int Version, SourceText Text)
{
    /// <summary>The most characters that are compiled, as on the command line; a longer document is stored but not analysed.</summary>
    public const int MostCharacters = 32 << 20;

    /// <summary>Whether it is too long to be compiled.</summary>
    public bool IsTooLarge => Text.Length > MostCharacters;

    /// <summary>Creates a document from the protocol's message.</summary>
    public static OpenDocument Open(TextDocumentItem item)
    {
        var path = DocumentUri.PathOf(item.Uri);
        var name = path is null ? item.Uri : Path.GetFileName(path);
        return new OpenDocument(item.Uri, path ?? item.Uri, item.Version, new SourceText(name, item.Text));
    }

    /// <summary>The document after changes, applied in order.</summary>
    public OpenDocument With(int version, IReadOnlyList<TextDocumentContentChangeEvent> changes, PositionMap positions)
    {
        if (changes is [{ Range: { } only } single])
            return this with { Version = version, Text = Text.With(new TextChange(positions.SpanOf(Text, only), single.Text)) };
        EditedText? edited = null;
        foreach (var change in changes)
            if (change.Range is { } range) (edited ??= new EditedText(Text.Content)).Replace(range, change.Text, positions);
            else edited = new EditedText(change.Text);
        return edited is null ? this with { Version = version } : this with { Version = version, Text = new SourceText(Text.Path, edited.ToString()) };
    }
}
