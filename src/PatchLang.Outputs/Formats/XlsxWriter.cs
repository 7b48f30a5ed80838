using System.Globalization;
using System.IO.Compression;
using System.Text;
using PatchLang.Outputs.Sheets;
using SpreadCheetah;
using SpreadCheetah.Styling;
using SpreadCheetah.Worksheets;

namespace PatchLang.Outputs.Formats;

/// <summary>
/// All sheets as one workbook, with a worksheet for each. The library writes the cells but can't repeat content on every printed page, so
/// that is added to the finished worksheets (ECMA-376 part 1, 18.3.1, from memory; tests validate it against the schema). Text is never
/// written as a formula. All archive entries have the same time, so that the same sheets give the same bytes.
/// </summary>
internal static class XlsxWriter
{
    // Limits of the format (ECMA-376: 31 characters for a worksheet's name, 32,767 for a cell's text).
    private const int MostNameLetters = 31;
    private const int MostTextLetters = 32_767;
    private const int WidestColumn = 48;

    private static readonly DateTimeOffset EntryTime = new(1980, 1, 1, 0, 0, 0, TimeSpan.Zero); // the earliest time that the archive format can represent

    public static byte[] Write(SheetSet set)
    {
        using var written = new MemoryStream();
        var names = NamesOf(set);
        // Everything is in memory, so this never blocks.
        var heads = WriteBook(written, set, names).AsTask().GetAwaiter().GetResult();
        return Finish(written, set, Titles(names, heads));
    }

    /// <summary>Writes the cells; returns the rows of the table headings in each worksheet.</summary>
    private static async ValueTask<List<int>[]> WriteBook(MemoryStream stream, SheetSet set, List<string> names)
    {
        var heads = new List<int>[set.Sheets.Length];
        var book = await Spreadsheet.CreateNewAsync(stream, new SpreadCheetahOptions { DocumentProperties = null }).ConfigureAwait(false);
        await using (book.ConfigureAwait(false))
        {
            var styles = new Styles(book);
            for (var i = 0; i < set.Sheets.Length; i++) heads[i] = await AddSheet(book, set, set.Sheets[i], names[i], styles).ConfigureAwait(false);
            if (set.Sheets.IsEmpty) await book.StartWorksheetAsync("Empty").ConfigureAwait(false);
            await book.FinishAsync().ConfigureAwait(false);
        }
        return heads;
    }

    private sealed class Styles
    {
        public Styles(Spreadsheet book)
        {
            var line = new EdgeBorder { BorderStyle = BorderStyle.Thin };
            var border = new Border { Left = line, Right = line, Top = line, Bottom = line };
            var wrapped = new Alignment { WrapText = true, Vertical = VerticalAlignment.Top };
            Title = book.AddStyle(new Style { Font = { Bold = true, Size = 14 } });
            Strong = book.AddStyle(new Style { Font = { Bold = true } });
            Head = book.AddStyle(new Style { Font = { Bold = true }, Border = border, Alignment = new Alignment { WrapText = true, Vertical = VerticalAlignment.Bottom } });
            Body = book.AddStyle(new Style { Border = border, Alignment = wrapped });
            Middle = book.AddStyle(new Style { Border = border, Alignment = new Alignment { Horizontal = HorizontalAlignment.Center, Vertical = VerticalAlignment.Top } });
            Fault = book.AddStyle(new Style { Font = { Bold = true }, Border = border, Alignment = wrapped });
        }

        public StyleId Title { get; }

        public StyleId Strong { get; }

        public StyleId Head { get; }

        public StyleId Body { get; }

        public StyleId Middle { get; }

        public StyleId Fault { get; }
    }

    private static async ValueTask<List<int>> AddSheet(Spreadsheet book, SheetSet set, Sheet sheet, string name, Styles styles)
    {
        var options = new WorksheetOptions();
        var widths = WidthsOf(sheet);
        for (var c = 0; c < widths.Count; c++) options.Column(c + 1).Width = widths[c];
        await book.StartWorksheetAsync(name, options).ConfigureAwait(false);
        var heads = new List<int>();
        await Line(sheet.Title, styles.Title).ConfigureAwait(false);
        await Line(string.Join(" \u00B7 ", new[] { set.Plan, set.Revision, sheet.Act, set.Date }.Where(p => p.Length > 0)), styles.Strong).ConfigureAwait(false);
        if (set.Banner is { } banner) await Line(banner, styles.Strong).ConfigureAwait(false);
        if (sheet.Purpose.Length > 0) await Line(sheet.Purpose, null).ConfigureAwait(false);
        foreach (var caution in sheet.Cautions) await Line($"Caution: {caution}", styles.Strong).ConfigureAwait(false);
        foreach (var section in sheet.Sections)
        {
            await Line("", null).ConfigureAwait(false);
            if (section.Title.Length > 0) await Line(section.Title, styles.Strong).ConfigureAwait(false);
            if (section.Remark is { } remark) await Line(remark, null).ConfigureAwait(false);
            heads.Add(book.NextRowNumber);
            await AddTable(book, section, styles).ConfigureAwait(false);
        }
        return sheet.Sections.All(s => s.Columns.SequenceEqual(sheet.Sections[0].Columns)) ? heads : [];

        ValueTask Line(string text, StyleId? style) => book.AddRowAsync(new[] { new SpreadCheetah.Cell(Text(text), style) });
    }

    private static async ValueTask AddTable(Spreadsheet book, Section section, Styles styles)
    {
        var hasFaults = section.Rows.Any(r => !r.Faults.IsEmpty);
        var cells = new List<SpreadCheetah.Cell>();
        foreach (var column in section.Columns) cells.Add(new SpreadCheetah.Cell(Text(column.Title), styles.Head));
        if (hasFaults) cells.Add(new SpreadCheetah.Cell("Fault", styles.Head));
        if (section.HasPlaces) cells.Add(new SpreadCheetah.Cell("In the plan", styles.Head));
        await book.AddRowAsync(cells).ConfigureAwait(false);
        foreach (var row in section.Rows)
        {
            cells.Clear();
            for (var i = 0; i < section.Columns.Length; i++)
                cells.Add(section.Columns[i].Kind == ColumnKind.Tick ? new SpreadCheetah.Cell("\u2610", styles.Middle)
                    : row.Cells[i].Number is { } number ? new SpreadCheetah.Cell(number, styles.Body)
                    : new SpreadCheetah.Cell(row.Cells[i].IsEmpty ? null : Text(row.Cells[i].Text), styles.Body));
            if (hasFaults) cells.Add(new SpreadCheetah.Cell(row.Faults.IsEmpty ? null : Text($"! {row.FaultText}"), styles.Fault));
            if (section.HasPlaces) cells.Add(new SpreadCheetah.Cell(Text(row.PlaceText), styles.Body));
            await book.AddRowAsync(cells).ConfigureAwait(false);
        }
    }

    private static string Text(string text)
    {
        text = PlainText.ForXml(text);
        if (text.Length <= MostTextLetters) return text;
        var end = MostTextLetters - 2;
        if (char.IsHighSurrogate(text[end - 1])) end--;
        return text[..end] + " \u2026";
    }

    /// <summary>The columns' widths in characters: as wide as their content, within limits.</summary>
    private static List<double> WidthsOf(Sheet sheet)
    {
        var widths = new List<double>();
        foreach (var section in sheet.Sections)
        {
            for (var i = 0; i < section.Columns.Length; i++)
            {
                var column = section.Columns[i];
                Take(i, column.Kind == ColumnKind.WriteIn ? 16 : column.Title.Length);
                foreach (var row in section.Rows) Take(i, row.Cells[i].Text.Length);
            }
            var hasFaults = section.Rows.Any(r => !r.Faults.IsEmpty);
            if (hasFaults) Take(section.Columns.Length, WidestColumn);
            foreach (var row in section.Rows) Take(section.Columns.Length + (hasFaults ? 1 : 0), row.PlaceText.Length);
        }
        return widths;

        void Take(int column, int letters)
        {
            while (widths.Count <= column) widths.Add(8);
            widths[column] = Math.Max(widths[column], Math.Min(letters, WidestColumn) + 2);
        }
    }

    /// <summary>A unique name for each worksheet: the name of its file in other formats, cut to the permitted length.</summary>
    private static List<string> NamesOf(SheetSet set)
    {
        var taken = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        var names = new List<string>();
        foreach (var sheet in set.Sheets)
        {
            var stem = string.Concat(sheet.Name.Select(c => c is '\\' or '/' or '?' or '*' or '[' or ']' or ':' or '\'' ? '-' : c));
            var name = Cut(stem, MostNameLetters);
            for (var number = 2; !taken.Add(name); number++)
            {
                var ending = $"-{number.ToString(CultureInfo.InvariantCulture)}";
                name = Cut(stem, MostNameLetters - ending.Length) + ending;
            }
            names.Add(name);
        }
        return names;

        static string Cut(string text, int most) => text.Length <= most ? text : text[..(char.IsHighSurrogate(text[most - 1]) ? most - 1 : most)];
    }

    /// <summary>
    /// The rows to repeat on every printed page: the heading of a worksheet's tables, if they all have the same one (ECMA-376 part 1,
    /// 18.2.5, from memory: a reserved name with the index of the worksheet).
    /// </summary>
    private static string Titles(List<string> names, List<int>[] heads)
    {
        var titles = new StringBuilder();
        for (var i = 0; i < heads.Length; i++)
            if (heads[i] is [var first, ..])
                titles.Append(CultureInfo.InvariantCulture, $"<definedName name=\"_xlnm.Print_Titles\" localSheetId=\"{i}\">'{PlainText.Escaped(names[i])}'!${first}:${first}</definedName>");
        return titles.Length == 0 ? "" : $"<definedNames>{titles}</definedNames>";
    }

    /// <summary>Adds the page settings to the worksheets and the repeated rows to the workbook, and gives all entries the same time.</summary>
    private static byte[] Finish(MemoryStream written, SheetSet set, string titles)
    {
        using var finished = new MemoryStream();
        written.Position = 0;
        using (var from = new ZipArchive(written, ZipArchiveMode.Read, leaveOpen: true))
        using (var to = new ZipArchive(finished, ZipArchiveMode.Create, leaveOpen: true))
            foreach (var entry in from.Entries)
            {
                var copy = to.CreateEntry(entry.FullName, CompressionLevel.Fastest);
                copy.LastWriteTime = EntryTime;
                using var source = entry.Open();
                using var target = copy.Open();
                if (entry.FullName == "xl/workbook.xml")
                {
                    using var list = new StreamReader(source, Encoding.UTF8);
                    target.Write(Encoding.UTF8.GetBytes(list.ReadToEnd().Replace("</sheets>", "</sheets>" + titles, StringComparison.Ordinal)));
                    continue;
                }
                if (SheetNumber(entry.FullName) is not { } number || number > set.Sheets.Length)
                {
                    source.CopyTo(target);
                    continue;
                }
                using var reader = new StreamReader(source, Encoding.UTF8);
                target.Write(Encoding.UTF8.GetBytes(WithPages(reader.ReadToEnd(), set, set.Sheets[number - 1])));
            }
        return finished.ToArray();
    }

    private static int? SheetNumber(string path) =>
        path.StartsWith("xl/worksheets/sheet", StringComparison.Ordinal) && int.TryParse(path.AsSpan()["xl/worksheets/sheet".Length..^".xml".Length], NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null;

    private static string WithPages(string part, SheetSet set, Sheet sheet)
    {
        // Landscape, one page wide, as many pages high as needed.
        const string fits = "<sheetPr><pageSetUpPr fitToPage=\"1\"/></sheetPr>";
        var start = part.IndexOf("<worksheet", StringComparison.Ordinal);
        start = part.IndexOf('>', start) + 1;
        var head = $"&L{Coded(string.Join(" \u00B7 ", new[] { set.Plan, set.Revision }.Where(p => p.Length > 0)))}&R{Coded(sheet.Act)}";
        var foot = $"&L{Coded(sheet.Title)}&C{Coded(set.Date)}&Rpage &P of &N";
        var pages = $"<pageMargins left=\"0.4\" right=\"0.4\" top=\"0.7\" bottom=\"0.6\" header=\"0.3\" footer=\"0.3\"/><pageSetup orientation=\"landscape\" fitToHeight=\"0\"/>"
            + $"<headerFooter><oddHeader>{PlainText.Escaped(head)}</oddHeader><oddFooter>{PlainText.Escaped(foot)}</oddFooter></headerFooter>";
        var end = part.LastIndexOf("</worksheet>", StringComparison.Ordinal);
        return string.Concat(part.AsSpan(0, start), fits, part.AsSpan(start, end - start), pages + part[end..]);
    }

    /// <summary>
    /// A text for a header or footer, with <c>&amp;</c> escaped as it begins a code; at most 60 characters, as a header may have 255 in all.
    /// </summary>
    private static string Coded(string text)
    {
        var line = text.ReplaceLineEndings(" ");
        if (line.Length > 60) line = line[..(char.IsHighSurrogate(line[58]) ? 58 : 59)] + "\u2026";
        line = line.Replace("&", "&&", StringComparison.Ordinal);
        return line is [>= '0' and <= '9', ..] ? " " + line : line; // a digit right after a code would be read as a font size
    }
}
