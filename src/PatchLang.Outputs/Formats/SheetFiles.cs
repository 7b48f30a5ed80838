using System.Collections.Immutable;
using System.Text;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Outputs.Formats;

/// <summary>A file format for sheets.</summary>
public enum SheetFormat
{
    /// <summary>One Markdown file for each sheet.</summary>
    Markdown,

    /// <summary>One RFC 4180 table for each sheet.</summary>
    Csv,

    /// <summary>One page with all sheets, for printing.</summary>
    Html,

    /// <summary>One Office Open XML workbook (ECMA-376) with a worksheet for each sheet.</summary>
    Xlsx,
}

/// <summary>A file to be written.</summary>
/// <param name="Name">Its name, without a folder.</param>
/// <param name="Content">Its bytes.</param>
public sealed record OutputFile(string Name, ReadOnlyMemory<byte> Content);

/// <summary>Writes sheets as files: the same sheets give the same bytes.</summary>
public static class SheetFiles
{
    /// <summary>The files of some sheets in a format.</summary>
    public static ImmutableArray<OutputFile> Of(SheetSet set, SheetFormat format) => format switch
    {
        SheetFormat.Markdown => [.. set.Sheets.Select(s => Text($"{s.Name}.md", MarkdownWriter.Write(set, s)))],
        SheetFormat.Csv => [.. set.Sheets.Select(s => Text($"{s.Name}.csv", CsvWriter.Write(s)))],
        SheetFormat.Html => [Text("sheets.html", HtmlWriter.Write(set))],
        _ => [new OutputFile("sheets.xlsx", XlsxWriter.Write(set))],
    };

    // A lone surrogate, which a label can contain, can't be encoded: it becomes the replacement character.
    private static OutputFile Text(string name, string text) => new(name, Encoding.UTF8.GetBytes(text));
}
