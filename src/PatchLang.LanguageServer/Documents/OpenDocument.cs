using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>A document as the client has it. Immutable.</summary>
/// <param name="Uri">The client's name for it.</param>
/// <param name="FullPath">Where it is on the disk; for a document that is no file, a place in no folder.</param>
/// <param name="Version">The client's number for this text.</param>
/// <param name="Text">The text.</param>
internal sealed record OpenDocument(string Uri, string FullPath, int Version, SourceText Text)
{
    /// <summary>The most characters that are worked out, as on the command line; beyond that a document is kept and not looked at.</summary>
    public const int MostCharacters = 32 << 20;

    /// <summary>Whether it is too large to be a plan.</summary>
    public bool IsTooLarge => Text.Length > MostCharacters;

    /// <summary>A document that was opened.</summary>
    public static OpenDocument Open(TextDocumentItem item)
    {
        var path = DocumentUri.PathOf(item.Uri);
        var name = path is null ? item.Uri : Path.GetFileName(path);
        return new OpenDocument(item.Uri, path ?? item.Uri, item.Version, new SourceText(name, item.Text));
    }

    /// <summary>The document after changes, one behind the other.</summary>
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
