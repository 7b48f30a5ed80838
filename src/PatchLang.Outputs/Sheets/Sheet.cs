using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Findings;

namespace PatchLang.Outputs.Sheets;

/// <summary>What a column is for.</summary>
public enum ColumnKind
{
    /// <summary>Words of the plan.</summary>
    Text,

    /// <summary>Numbers, which stand to the right.</summary>
    Number,

    /// <summary>A box to tick. Kept though nothing stands in it.</summary>
    Tick,

    /// <summary>Room to write by hand. Kept though nothing stands in it.</summary>
    WriteIn,
}

/// <summary>A column of a table.</summary>
/// <param name="Title">Its heading.</param>
/// <param name="Kind">What it is for.</param>
public sealed record Column(string Title, ColumnKind Kind = ColumnKind.Text)
{
    /// <summary>A box to tick.</summary>
    public static Column Tick(string title = "Done") => new(title, ColumnKind.Tick);

    /// <summary>Room to write by hand.</summary>
    public static Column WriteIn(string title) => new(title, ColumnKind.WriteIn);

    /// <summary>Whether it stays though nothing stands in it.</summary>
    public bool IsKept { get; init; } = Kind is ColumnKind.Tick or ColumnKind.WriteIn;
}

/// <summary>What stands at one row and column.</summary>
/// <param name="Text">The words; empty for nothing.</param>
/// <param name="Number">The number that the words say, where they are one.</param>
public readonly record struct Cell(string Text, double? Number = null)
{
    /// <summary>Nothing.</summary>
    public static Cell Empty => new("");

    /// <summary>Whether nothing stands there.</summary>
    public bool IsEmpty => string.IsNullOrEmpty(Text);

    /// <summary>Words.</summary>
    public static implicit operator Cell(string? text) => new(text ?? "");

    /// <summary>A whole number.</summary>
    public static implicit operator Cell(int number) => new(number.ToString(CultureInfo.InvariantCulture), number);
}

/// <summary>A row of a table.</summary>
/// <param name="Cells">One for each column.</param>
/// <param name="Place">Where in the plan it comes from; null for a row that the plan does not write, such as an unused line.</param>
/// <param name="Faults">The errors and warnings that touch it.</param>
public sealed record Row(ImmutableArray<Cell> Cells, Place? Place, ImmutableArray<Finding> Faults)
{
    /// <summary>The row's place as people read it: <c>inputs.rig:28</c>; empty where there is none.</summary>
    public string PlaceText => Place is { } place ? $"{place.Source.Path}:{place.Source.PositionOf(place.Span.Start).Line + 1}" : "";

    /// <summary>The most faults that are read out in one row.</summary>
    internal const int MostFaults = 50;

    /// <summary>The faults as people read them, one a line.</summary>
    public string FaultText => string.Join('\n', Faults.Take(MostFaults).Select(f => $"{f.Code}: {f.Message}").Concat(Faults.Length > MostFaults ? ["and more: patchlang check tells them"] : Array.Empty<string>()));
}

/// <summary>How a section is laid out on paper.</summary>
public enum SectionLayout
{
    /// <summary>A table.</summary>
    Table,

    /// <summary>Labels to cut out, side by side, at their size: the first column is the number, the second the name, the third small print.</summary>
    Strip,
}

/// <summary>One table of a sheet, with its heading. Columns that nothing stands in are left out, unless they are to be written in.</summary>
public sealed record Section
{
    /// <param name="title">Its heading; empty where the sheet has one section alone.</param>
    /// <param name="columns">Its columns.</param>
    /// <param name="rows">Its rows, each with a cell for every column.</param>
    public Section(string title, ImmutableArray<Column> columns, ImmutableArray<Row> rows)
    {
        Title = title;
        var kept = Enumerable.Range(0, columns.Length).Where(c => columns[c].IsKept || rows.Any(r => !r.Cells[c].IsEmpty)).ToArray();
        Columns = [.. kept.Select(c => columns[c])];
        Rows = kept.Length == columns.Length ? rows : [.. rows.Select(r => r with { Cells = [.. kept.Select(c => r.Cells[c])] })];
    }

    /// <summary>Its heading.</summary>
    public string Title { get; }

    /// <summary>A sentence above the table; null for none.</summary>
    public string? Remark { get; init; }

    /// <summary>The columns that are left.</summary>
    public ImmutableArray<Column> Columns { get; }

    /// <summary>Whether a last column says where in the plan each row comes from.</summary>
    public bool HasPlaces { get; init; } = true;

    /// <summary>The rows.</summary>
    public ImmutableArray<Row> Rows { get; }

    /// <summary>How it is laid out on paper.</summary>
    public SectionLayout Layout { get; init; }

    /// <summary>The width and height of one label of a strip, in millimetres.</summary>
    public (double Width, double Height) LabelSize { get; init; }
}

/// <summary>One sheet of paper, or several, that one person holds for one purpose.</summary>
/// <param name="Name">What its file is called, without an ending: <c>input-list-tide</c>.</param>
/// <param name="Title">Its heading.</param>
/// <param name="Purpose">Who uses it, and for what: one sentence.</param>
/// <param name="Act">The acts it holds for, as people call them: <c>The Tide Band</c>, <c>all day</c>.</param>
/// <param name="Sections">Its tables.</param>
public sealed record Sheet(string Name, string Title, string Purpose, string Act, ImmutableArray<Section> Sections)
{
    /// <summary>What can hurt somebody, to be read first.</summary>
    public ImmutableArray<string> Cautions { get; init; } = [];

    /// <summary>What it is called together with others of its sort, of which the short ones may share a page: <c>Worksheets</c>; null where it stands alone.</summary>
    public string? Family { get; init; }
}

/// <summary>All sheets of a plan, and what stands on every page.</summary>
/// <param name="Plan">The plan's title or, without one, its file.</param>
/// <param name="Revision">Which state of the plan it is, in the host's words; empty for none.</param>
/// <param name="Date">The day, in the host's words; empty for none.</param>
/// <param name="Sheets">The sheets, in the order in which a day needs them.</param>
public sealed record SheetSet(string Plan, string Revision, string Date, ImmutableArray<Sheet> Sheets)
{
    /// <summary>What a reader must know before anything is built by these sheets: that the plan has faults; null if it has none.</summary>
    public string? Banner { get; init; }
}
