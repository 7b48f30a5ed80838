using System.Globalization;
using System.Text;
using CsCheck;
using CsvHelper;
using CsvHelper.Configuration;
using DocumentFormat.OpenXml;
using DocumentFormat.OpenXml.Packaging;
using DocumentFormat.OpenXml.Validation;
using FluentAssertions;
using MiniExcelLibs;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Reports;
using PatchLang.Writing;
using Xunit;

namespace PatchLang.Scripting.Tests.Reports;

/// <summary>Tables of scripts are read back by readers that others wrote; what can't be written is said.</summary>
public sealed class TableTests
{
    private static readonly Rig Quay = SamplePlans.LanternQuay;

    [Fact]
    public void A_table_is_written_as_csv_as_it_was_filled()
    {
        var table = new Table("Free", "Unit", "Channel", TableColumn.WriteIn("Taken for"), "Note");
        table.Add("rack", 31, null);
        table.Add("=1+1", -2.5, "a \"quoted\", one");
        var output = new Output("Quay");
        output.Csv("lists/free.csv", table);

        output.Files.Should().ContainSingle().Which.Name.Should().Be("lists/free.csv");
        TextOf(output).Should().Be("Unit,Channel,Taken for,Note\r\nrack,31,,\r\n'=1+1,'-2.5,,\"a \"\"quoted\"\", one\"\r\n");
    }

    [Fact]
    public void A_row_says_where_in_the_plan_it_comes_from()
    {
        var table = new Table("Feeds", "Feed");
        table.AddFrom(Quay.Feeds.First(), "first");
        table.Add("second");
        var output = new Output("Quay");
        output.Csv("feeds.csv", table);

        var place = Quay.Feeds.First().Place;
        TextOf(output).Should().Be($"Feed,In the plan\r\nfirst,{place.File}:{place.Line}\r\nsecond,\r\n");
    }

    [Fact]
    public void Markdown_has_a_heading_for_each_of_several_tables()
    {
        var (one, two) = (new Table("One", "A", TableColumn.Tick()), new Table("Two", "B") { Remark = "A remark." });
        one.Add(1);
        two.Add("x | y");
        var output = new Output("Quay");
        output.Markdown("both.md", "Both", one, two);

        TextOf(output).Should().Be("# Both\n\n**Quay**\n\n## One\n\n| A | Done |\n| ---: | --- |\n| 1 | \u2610 |\n\n## Two\n\nA remark.\n\n| B |\n| --- |\n| x \\| y |\n");
    }

    [Fact]
    public void A_workbook_is_valid_and_has_a_worksheet_for_each_table()
    {
        var (one, two) = (new Table("Mara", "Signal", "Gain"), new Table("Jonas", "Signal", "Gain"));
        one.Add("Fiddle", -6);
        two.Add("=SUM(A1)", 3.5m);
        var output = new Output("Quay");
        output.Workbook("all.xlsx", one, two);

        using var stream = new MemoryStream(output.Files[0].Content.ToArray());
        using (var book = SpreadsheetDocument.Open(stream, false))
            new OpenXmlValidator(FileFormatVersions.Office2019).Validate(book).Should().BeEmpty();
        MiniExcel.GetSheetNames(stream).Should().Equal("Mara", "Jonas");
        var rows = MiniExcel.Query(stream, sheetName: "Jonas").Cast<IDictionary<string, object>>().ToList();
        rows[^1].Values.Should().Equal("=SUM(A1)", 3.5);
    }

    [Fact]
    public void A_plan_is_written_as_its_writer_has_it()
    {
        var plan = new PlanWriter();
        plan.Rig("Lantern Quay");
        var output = new Output("");
        output.Plan("quay.rig", plan);
        TextOf(output).Should().Be("rig \"Lantern Quay\"\n");
    }

    [Theory]
    [InlineData("../out.csv", "../out.csv leads out of the folder that the command line names")]
    [InlineData("a/../../out.csv", "*leads out*")]
    [InlineData("/etc/out.csv", "/etc/out.csv: names count from the folder that the command line names")]
    [InlineData("C:/out.csv", "*names count from the folder*")]
    [InlineData("a\\out.csv", "*folders are parted by `/`")]
    [InlineData("", "a file needs a name")]
    [InlineData("a//out.csv", "*is no name of a file")]
    [InlineData("./out.csv", "*is no name of a file")]
    [InlineData(" out.csv", "*is no name of a file")]
    [InlineData("out?.csv", "*not every disk can hold")]
    [InlineData("out\n.csv", "*not every disk can hold")]
    [InlineData("out.txt", "out.txt should end in .csv")]
    public void A_name_that_leads_elsewhere_is_refused(string name, string message)
    {
        var output = new Output("");
        output.Invoking(o => o.Csv(name, new Table("T", "A"))).Should().Throw<ReportException>().WithMessage(message);
        output.Files.Should().BeEmpty();
    }

    [Fact]
    public void What_is_wrong_with_a_table_is_said()
    {
        var table = new Table("Free", "Unit", "Channel", TableColumn.Tick());
        table.Invoking(t => t.Add("rack")).Should().Throw<ReportException>().WithMessage("this row of `Free` has 1 cells, and the table 2 columns to fill: Unit, Channel");
        FluentActions.Invoking(() => new Table("Free")).Should().Throw<ReportException>();
        var output = new Output("");
        output.Csv("a.csv", table);
        output.Invoking(o => o.Csv("A.csv", table)).Should().Throw<ReportException>().WithMessage("A.csv is written twice");
        output.Invoking(o => o.Workbook("b.xlsx")).Should().Throw<ReportException>();
        output.Invoking(o => { for (var i = 0; i <= Output.MostFiles; i++) o.Text($"{i}.txt", ""); }).Should().Throw<ReportException>().WithMessage("*at most 1,000 files");
    }

    [Fact]
    public void Csv_is_read_as_another_reader_reads_it() =>
        Gen.Select(Gen.OneOf(Gen.Const(""), Gen.Const("a"), Gen.Const("b,c"), Gen.Const("\"q\""), Gen.Const("line\nbreak"), Gen.Const(" x "), Gen.String[Gen.Char.AlphaNumeric, 0, 4]).Array[3].Array[0, 6], Gen.OneOf("\n", "\r\n")).Sample((rows, end) =>
        {
            var text = string.Concat(rows.Prepend(["One", "Two", "Three"]).Select(r => string.Join(',', r.Select(f => f.AsSpan().IndexOfAny(",\"\n") >= 0 ? $"\"{f.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : f)) + end));
            using var reader = new CsvReader(new StringReader(text), new CsvConfiguration(CultureInfo.InvariantCulture));
            var theirs = reader.GetRecords<dynamic>().Select(r => ((IDictionary<string, object>)r).Values.Cast<string>().ToList()).ToList();

            var ours = CsvRows.Read(text);
            ours.Select(r => r.Values.ToList()).Should().BeEquivalentTo(theirs, o => o.WithStrictOrdering());
        }, iter: 300);

    [Theory]
    [InlineData("A,A\n1,2\n", "two columns are headed `A`")]
    [InlineData("A\n\n1,2\n", "line 3 has 2 fields, and the heading 1")]
    [InlineData("A\n\"1\n2\n", "the quote that is opened in line 2 is not closed")]
    [InlineData("A\n\"1\"2\n", "in line 2, something stands behind a closing quote")]
    public void What_is_wrong_with_csv_is_said(string text, string message) =>
        FluentActions.Invoking(() => CsvRows.Read(text)).Should().Throw<ReportException>().WithMessage(message);

    private static string TextOf(Output output) => Encoding.UTF8.GetString(output.Files[^1].Content.Span);
}
