using System.Globalization;
using System.IO.Compression;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using CsCheck;
using CsvHelper;
using CsvHelper.Configuration;
using DocumentFormat.OpenXml;
using DocumentFormat.OpenXml.Packaging;
using DocumentFormat.OpenXml.Spreadsheet;
using DocumentFormat.OpenXml.Validation;
using FluentAssertions;
using PatchLang.Outputs.Formats;
using PatchLang.Outputs.Sheets;
using Xunit;
using Column = PatchLang.Outputs.Sheets.Column;
using Row = PatchLang.Outputs.Sheets.Row;
using Sheet = PatchLang.Outputs.Sheets.Sheet;

namespace PatchLang.Outputs.Tests.Formats;

/// <summary>Each format is read back by a reader that others wrote, and every name survives.</summary>
public sealed class FormatTests
{
    private static readonly string[] Nasty =
    [
        "=1+1", "+49", "-6", "@SUM(A1)", "\tx", "=HYPERLINK(\"a\")", "a \"quoted\" one", "comma, and semicolon;", "line\nbreak", "carriage\r\nreturn", "<b>bold</b> & <!-- -->", "]]>", "|pipe|", "*star* _low_ `tick`",
        "[link](target)", "\\", "'apostrophe", " spaces ", "\u05E9\u05DC\u05D5\u05DD", "\u0645\u0631\u062D\u0628\u0627 mic", "\u202Eturned", "🎻🎤👩‍🎤", "e\u0301", "\u0007bell", "\uFFFF", "\uD83C", "&amp;", "&#39;", "{=1+1}", "\uFF1D1+1", "\uFF0B49", "\uFF0D6", "\uFF20SUM(A1)", "\rx", "\r=1+1", "\t=1+1", "\n=1+1", "",
    ];

    private static readonly SheetSet Quay = SheetList.Of(SamplePlans.Compile("lantern-quay/lantern-quay.rig"), "lantern-quay.rig", "3", "2026-06-20");

    [Fact]
    public void Csv_is_read_back_cell_by_cell_by_another_reader()
    {
        foreach (var (sheet, file) in Quay.Sheets.Zip(SheetFiles.Of(Quay, SheetFormat.Csv)))
        {
            var records = ReadCsv(file);
            records.Should().AllSatisfy(r => r.Should().HaveSameCount(records[0]), "{0} is a rectangle", file.Name);
            records.Should().HaveCount(1 + sheet.Sections.Sum(s => s.Rows.Length));
            records.Skip(1).Select(r => r[^1]).Should().Equal(sheet.Sections.SelectMany(s => s.Rows).Select(r => r.PlaceText));
        }
    }

    [Fact]
    public void Lines_of_csv_end_as_rfc_4180_says() // section 2, rule 1
    {
        var text = Encoding.UTF8.GetString(SheetFiles.Of(Quay, SheetFormat.Csv)[0].Content.Span);

        text.Should().EndWith("\r\n");
        text.Replace("\r\n", "", StringComparison.Ordinal).Should().NotContainAny("\r", "\n");
    }

    [Theory]
    [MemberData(nameof(NastyNames))]
    public void A_nasty_name_survives_csv_and_is_no_formula(string name)
    {
        var record = ReadCsv(SheetFiles.Of(SetOf(name), SheetFormat.Csv)[0])[1];

        var text = record[0];
        text.Should().Match(t => t == Whole(name) || t == "'" + Whole(name));
        (text is ['=' or '+' or '-' or '@' or '\t' or '\r' or '\n' or '\uFF1D' or '\uFF0B' or '\uFF0D' or '\uFF20', ..]).Should().BeFalse();
    }

    [Theory]
    [MemberData(nameof(NastyNames))]
    public void A_nasty_name_survives_the_page(string name)
    {
        var page = Xml(SheetFiles.Of(SetOf(name), SheetFormat.Html)[0]);

        page.Descendants().Single(e => e.Name.LocalName == "tbody").Descendants().First(e => e.Name.LocalName == "td").Value.Should().Be(AsXml(name));
        page.Descendants().Should().NotContain(e => e.Name.LocalName == "b");
    }

    [Theory]
    [MemberData(nameof(NastyNames))]
    public void A_nasty_name_survives_the_workbook_as_text(string name)
    {
        using var book = Open(SheetFiles.Of(SetOf(name), SheetFormat.Xlsx)[0]);

        var cells = book.WorkbookPart!.WorksheetParts.SelectMany(w => w.Worksheet!.Descendants<DocumentFormat.OpenXml.Spreadsheet.Cell>()).ToList();
        cells.Should().NotContain(c => c.CellFormula != null);
        cells.Select(c => TextOf(book, c)).Should().Contain(AsXml(name));
    }

    [Fact]
    public void The_workbook_holds_against_the_schema_and_prints_its_head_and_foot_on_every_page()
    {
        using var book = Open(SheetFiles.Of(Quay, SheetFormat.Xlsx)[0]);

        new OpenXmlValidator(FileFormatVersions.Office2019).Validate(book).Select(e => $"{e.Part?.Uri}: {e.Description}").Should().BeEmpty();
        book.WorkbookPart!.WorksheetParts.Should().HaveCount(Quay.Sheets.Length).And.AllSatisfy(w =>
        {
            var printed = w.Worksheet!.GetFirstChild<HeaderFooter>()!;
            printed.OddFooter!.Text.Should().EndWith("&Rpage &P of &N").And.Contain("2026-06-20");
            printed.OddHeader!.Text.Should().StartWith("&LLantern Quay, harbour stage · 3&R");
        });
    }

    [Fact]
    public void The_head_of_a_table_stands_on_every_page_of_the_workbook()
    {
        using var book = Open(SheetFiles.Of(Quay, SheetFormat.Xlsx)[0]);
        var names = book.WorkbookPart!.Workbook!.Descendants<DocumentFormat.OpenXml.Spreadsheet.Sheet>().ToList();
        var repeated = book.WorkbookPart.Workbook.DefinedNames!.Elements<DefinedName>().ToDictionary(d => names[(int)d.LocalSheetId!.Value].Name!.Value!, d => d);

        repeated.Values.Should().AllSatisfy(d => d.Name!.Value.Should().Be("_xlnm.Print_Titles"));
        foreach (var sheet in Quay.Sheets)
        {
            var columns = sheet.Sections.Select(s => string.Join('|', s.Columns.Select(c => c.Title))).Distinct().ToList();
            repeated.ContainsKey(sheet.Name).Should().Be(columns.Count == 1, sheet.Name);
            if (columns.Count > 1) continue;
            var name = names.Single(n => n.Name == sheet.Name);
            var row = int.Parse(repeated[sheet.Name].Text.Split('$')[^1], CultureInfo.InvariantCulture);
            repeated[sheet.Name].Text.Should().Be($"'{sheet.Name}'!${row}:${row}");
            var cells = ((WorksheetPart)book.WorkbookPart.GetPartById(name.Id!.Value!)).Worksheet!.Descendants<DocumentFormat.OpenXml.Spreadsheet.Row>().ElementAt(row - 1);
            cells.Elements<DocumentFormat.OpenXml.Spreadsheet.Cell>().Select(c => TextOf(book, c)).Should().StartWith(sheet.Sections[0].Columns.Select(c => c.Title));
        }
    }

    [Fact]
    public void The_workbook_is_read_back_by_a_second_library()
    {
        var file = SheetFiles.Of(Quay, SheetFormat.Xlsx)[0];
        using var stream = new MemoryStream(file.Content.ToArray());

        var names = MiniExcelLibs.MiniExcel.GetSheetNames(stream);
        names.Should().HaveCount(Quay.Sheets.Length);
        var festival = MiniExcelLibs.MiniExcel.Query(stream, sheetName: "festival-list").Cast<IDictionary<string, object?>>().ToList();
        festival.Should().Contain(r => (string?)r["A"] == "split.stage[12]" && (string?)r["B"] == "Fiddle");
    }

    [Fact]
    public void Names_of_worksheets_are_cut_and_kept_apart()
    {
        var sheet = SetOf("x").Sheets[0];
        var set = SetOf("x") with { Sheets = [sheet with { Name = new string('a', 40) }, sheet with { Name = new string('a', 41) }, sheet with { Name = "b[1]:?" }] };
        using var book = Open(SheetFiles.Of(set, SheetFormat.Xlsx)[0]);

        book.WorkbookPart!.Workbook!.Descendants<DocumentFormat.OpenXml.Spreadsheet.Sheet>().Select(s => s.Name!.Value).Should().Equal(new string('a', 31), new string('a', 29) + "-2", "b-1---");
    }

    [Fact]
    public void The_page_stands_alone_and_every_printed_page_has_its_margins()
    {
        var file = SheetFiles.Of(Quay, SheetFormat.Html)[0];
        var page = Xml(file);
        var text = Encoding.UTF8.GetString(file.Content.Span);

        page.Descendants().Select(e => e.Name.LocalName).Should().NotContain(["script", "img", "link", "iframe"]);
        text.Should().NotContain("url(").And.NotContain("@import").And.Contain("http:", Exactly.Once(), "the name space of XHTML is no link");
        var pages = text.Split('\n').Where(l => l.StartsWith("@page", StringComparison.Ordinal)).ToList();
        pages.Should().AllSatisfy(p => p.Should().Contain("counter(page) \" of \" counter(pages)").And.Contain("\"2026\\00002d 06\\00002d 20\"").And.Contain("\"Lantern Quay, harbour stage \\0000b7  3\""));
        var named = pages.Select(p => p.Split(' ')[1]).ToList();
        page.Descendants().Where(e => e.Name.LocalName == "section").Select(s => s.Attribute("class")!.Value.Split(' ')[1]).Distinct().Should().Equal(named);
        page.Descendants().Where(e => e.Name.LocalName == "section").Should().HaveCount(Quay.Sheets.Length);
        page.Descendants().Where(e => e.Name.LocalName == "a").Select(a => a.Attribute("href")!.Value.TrimStart('#')).Should().Equal(page.Descendants().Where(e => e.Name.LocalName == "section").Select(s => s.Attribute("id")!.Value));
    }

    [Fact]
    public void Short_sheets_of_a_family_share_pages_and_long_ones_have_their_own()
    {
        var (brief, lengthy) = (SetOf("x").Sheets[0], SetOf("x").Sheets[0].Sections[0]);
        lengthy = new Section("", lengthy.Columns, [.. Enumerable.Repeat(lengthy.Rows[0], 40)]);
        Sheet[] sheets =
        [
            brief with { Title = "List" }, brief with { Title = "A", Family = "Work" }, brief with { Title = "B", Family = "Work", Sections = [lengthy] }, brief with { Title = "C", Family = "Work" },
            brief with { Title = "D", Family = "Work", Act = "Bells" }, brief with { Title = "E", Family = "Hear" }, brief with { Title = "F", Family = "Hear" }, brief with { Title = "G" }, brief with { Title = "H" },
        ];

        PrintedPages.Of([.. sheets]).Select(p => $"{p.Title}: {string.Concat(p.Sheets.Select(s => s.Title))}")
            .Should().Equal("List: List", "B: B", "Work: AC", "D: D", "Hear: EF", "G: G", "H: H");
    }

    [Theory]
    [MemberData(nameof(NastyNames))]
    public void A_nasty_title_can_end_neither_the_style_nor_its_string(string name)
    {
        var page = Xml(SheetFiles.Of(SetOf("x") with { Plan = name, Revision = "</style><script>" }, SheetFormat.Html)[0]);

        page.Descendants().Should().NotContain(e => e.Name.LocalName == "script");
        page.Descendants().Single(e => e.Name.LocalName == "style").Value.Should().NotContain("</");
    }

    [Fact]
    public void Any_label_survives_from_the_plan_to_every_format()
    {
        // Whatever a label can hold: all but quotes and line breaks.
        var label = Gen.Char.Array[1, 12].Select(c => new string([.. c.Where(l => l is not ('"' or '\r' or '\n' or '\\' or '\u0085' or '\u2028' or '\u2029'))])).Where(l => l.Trim().Length > 0);
        label.Sample(text =>
        {
            var set = SheetList.Of(SamplePlans.CompileText($"rig \"Quay\"\nformat wire {{ joins point_to_point way one time none }}\ngear Box {{ in mic[2] : wire strip ch[2] route mic -> ch free }}\nunit box : Box\nfeed a \"{text}\" : box.mic[1] -> box.ch[1]\n"), "quay.rig", "", "");
            var title = set.Sheets.Single(s => s.Name == "input-list").Sections[0].Rows[0].Cells[1].Text;
            var csv = ReadCsv(SheetFiles.Of(set, SheetFormat.Csv).Single(f => f.Name == "input-list.csv"));
            csv[1][1].TrimStart('\'').Should().Be(Whole(title).TrimStart('\''));
            Xml(SheetFiles.Of(set, SheetFormat.Html)[0]).Descendants().Select(e => e.Value).Should().Contain(AsXml(title));
            using var book = Open(SheetFiles.Of(set, SheetFormat.Xlsx)[0]);
            book.WorkbookPart!.WorksheetParts.SelectMany(w => w.Worksheet!.Descendants<DocumentFormat.OpenXml.Spreadsheet.Cell>()).Should().NotContain(c => c.CellFormula != null);
        }, iter: 60);
    }

    [Fact]
    public void A_row_of_markdown_has_as_many_cells_as_its_heading_whatever_is_in_them()
    {
        foreach (var name in Nasty)
        {
            var lines = Encoding.UTF8.GetString(SheetFiles.Of(SetOf(name), SheetFormat.Markdown)[0].Content.Span).Split('\n').Where(l => l.StartsWith('|')).ToList();
            lines.Should().HaveCount(3).And.AllSatisfy(l => Bars(l).Should().Be(Bars(lines[0])));
        }

        static int Bars(string line) => line.Replace("\\\\", "", StringComparison.Ordinal).Replace("\\|", "", StringComparison.Ordinal).Count(c => c == '|');
    }

    public static TheoryData<string> NastyNames => [.. Nasty];

    private static SheetSet SetOf(string name) =>
        new("Quay", "1", "today", [new Sheet("one", name, "For a test.", "all day", [new Section("", [new Column("Name"), Column.Tick()], [new Row([name.Length == 0 ? "x" : name, ""], null, [])])])]);

    private static string Whole(string name) => name.Length == 0 ? "x" : Encoding.UTF8.GetString(Encoding.UTF8.GetBytes(name));

    /// <summary>What XML 1.0 can hold of a name, with its line ends as a parser gives them (sections 2.2 and 2.11, read).</summary>
    private static string AsXml(string name) => PlainText.ForXml(name.Length == 0 ? "x" : name).Replace("\r\n", "\n", StringComparison.Ordinal).Replace('\r', '\n');

    private static List<string[]> ReadCsv(OutputFile file)
    {
        using var reader = new StreamReader(new MemoryStream(file.Content.ToArray()), Encoding.UTF8);
        using var parser = new CsvParser(reader, new CsvConfiguration(CultureInfo.InvariantCulture) { HasHeaderRecord = false, BadDataFound = found => throw new FormatException(found.RawRecord) });
        var records = new List<string[]>();
        while (parser.Read()) records.Add([.. parser.Record!]);
        return records;
    }

    private static XDocument Xml(OutputFile file)
    {
        using var reader = XmlReader.Create(new MemoryStream(file.Content.ToArray()), new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore });
        return XDocument.Load(reader, LoadOptions.PreserveWhitespace);
    }

    private static SpreadsheetDocument Open(OutputFile file) => SpreadsheetDocument.Open(new MemoryStream(file.Content.ToArray()), false);

    private static string? TextOf(SpreadsheetDocument book, DocumentFormat.OpenXml.Spreadsheet.Cell cell) =>
        cell.DataType?.Value == CellValues.SharedString
            ? book.WorkbookPart!.SharedStringTablePart!.SharedStringTable!.ElementAt(int.Parse(cell.CellValue!.Text, CultureInfo.InvariantCulture)).InnerText
            : cell.InlineString?.InnerText ?? cell.CellValue?.Text;
}
