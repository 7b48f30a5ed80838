using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Outputs.Sheets;
using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Reports;

/// <summary>A table that a script fills: columns, and rows of texts and numbers.</summary>
/// <example>
/// <code>
/// var free = new Table("Free channels", "Unit", "Port", "Channel", TableColumn.WriteIn("Taken for"));
/// free.Add("rack", "mic", 31);
/// Output.Csv("free.csv", free);
/// </code>
/// </example>
public sealed class Table
{
    private const int MostRows = 1_000_000;

    private readonly ImmutableArray<TableColumn> columns;
    private readonly List<Row> rows = [];

    /// <param name="title">Its heading.</param>
    /// <param name="columns">Its columns, from left to right.</param>
    /// <exception cref="ReportException">There are no columns.</exception>
    public Table(string title, params ReadOnlySpan<TableColumn> columns)
    {
        if (columns.IsEmpty) throw new ReportException($"the table `{title}` has no columns");
        Title = title ?? throw new ReportException("a table's heading is missing");
        this.columns = [.. columns];
    }

    /// <summary>Its heading.</summary>
    public string Title { get; }

    /// <summary>A sentence above it; null for none.</summary>
    public string? Remark { get; set; }

    /// <summary>The number of rows.</summary>
    public int Count => rows.Count;

    private IEnumerable<TableColumn> Filled => columns.Where(c => c.IsFilled);

    /// <summary>Adds a row.</summary>
    /// <param name="cells">A text, a number or null for each column, except those to be ticked or filled in by hand.</param>
    /// <exception cref="ReportException">The number of cells is wrong.</exception>
    public void Add(params ReadOnlySpan<object?> cells) => AddRow(null, cells);

    /// <summary>Adds a row that comes from somewhere in the plan; an additional last column shows the place.</summary>
    /// <param name="source">What the row comes from: a feed, a unit, a cable.</param>
    /// <param name="cells">As for <see cref="Add"/>.</param>
    public void AddFrom(IPlaced source, params ReadOnlySpan<object?> cells) =>
        AddRow((source ?? throw new ReportException("what the row comes from is missing")).Place.Written, cells);

    /// <summary>The table as a section of a sheet.</summary>
    internal Section ToSection(string title)
    {
        var hasOnlyNumbers = Enumerable.Range(0, columns.Length).Select(c => rows.Exists(r => !r.Cells[c].IsEmpty) && rows.TrueForAll(r => r.Cells[c].IsEmpty || r.Cells[c].Number is not null)).ToArray();
        var sheetColumns = columns.Select((c, i) => new Column(c.Title, hasOnlyNumbers[i] ? ColumnKind.Number : c.Kind) { IsKept = true });
        return new Section(title, [.. sheetColumns], [.. rows]) { Remark = Remark, HasPlaces = rows.Exists(r => r.Place is not null) };
    }

    private void AddRow(Findings.Place? place, ReadOnlySpan<object?> cells)
    {
        if (cells.Length != Filled.Count())
            throw new ReportException($"this row of `{Title}` has {cells.Length} cells, and the table {Filled.Count()} columns to fill: {string.Join(", ", Filled.Select(c => c.Title))}");
        if (rows.Count == MostRows) throw new ReportException($"the table `{Title}` has more than {MostRows:N0} rows");
        var row = ImmutableArray.CreateBuilder<Cell>(columns.Length);
        var next = 0;
        foreach (var column in columns) row.Add(column.IsFilled ? CellOf(cells[next++]) : Cell.Empty);
        rows.Add(new Row(row.MoveToImmutable(), place, []));
    }

    private static Cell CellOf(object? value) => value switch
    {
        null => Cell.Empty,
        string text => text,
        int or long or short or byte or decimal or double or float => Number(((IConvertible)value).ToDouble(CultureInfo.InvariantCulture), (IFormattable)value),
        bool isTrue => isTrue ? "yes" : "no",
        IFormattable other => other.ToString(null, CultureInfo.InvariantCulture),
        _ => value.ToString() ?? "",
    };

    private static Cell Number(double number, IFormattable written) =>
        double.IsFinite(number) ? new Cell(written.ToString(null, CultureInfo.InvariantCulture), number) : written.ToString(null, CultureInfo.InvariantCulture);
}
