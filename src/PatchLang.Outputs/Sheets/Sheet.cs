using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Findings;

namespace PatchLang.Outputs.Sheets;

/// <summary>The purpose of a column.</summary>
public enum ColumnKind
{
    /// <summary>Text.</summary>
    Text,

    /// <summary>Numbers, aligned to the right.</summary>
    Number,

    /// <summary>A box to tick. Kept even if empty.</summary>
    Tick,

    /// <summary>Space to write by hand. Kept even if empty.</summary>
    WriteIn,
}

/// <summary>A column of a table.</summary>
/// <param name="Title">Its heading.</param>
/// <param name="Kind">Its purpose.</param>
public sealed record Column(string Title, ColumnKind Kind = ColumnKind.Text)
{
    /// <summary>A box to tick.</summary>
    public static Column Tick(string title = "Done") => new(title, ColumnKind.Tick);

    /// <summary>Space to write by hand.</summary>
    public static Column WriteIn(string title) => new(title, ColumnKind.WriteIn);

    /// <summary>Whether it is kept even if empty.</summary>
    public bool IsKept { get; init; } = Kind is ColumnKind.Tick or ColumnKind.WriteIn;
}

/// <summary>A cell of a table.</summary>
/// <param name="Text">The text; may be empty.</param>
/// <param name="Number">The value, if the text is a number.</param>
public readonly record struct Cell(string Text, double? Number = null)
{
    /// <summary>An empty cell.</summary>
    public static Cell Empty => new("");

    /// <summary>Whether it is empty.</summary>
    public bool IsEmpty => string.IsNullOrEmpty(Text);

    /// <summary>Text.</summary>
    public static implicit operator Cell(string? text) => new(text ?? "");

    /// <summary>A whole number.</summary>
    public static implicit operator Cell(int number) => new(number.ToString(CultureInfo.InvariantCulture), number);
}

/// <summary>A row of a table.</summary>
/// <param name="Cells">One for each column.</param>
/// <param name="Place">Its place in the plan; null for a row that the plan has no statement for, such as an unused line.</param>
/// <param name="Faults">The errors and warnings that concern it.</param>
public sealed record Row(ImmutableArray<Cell> Cells, Place? Place, ImmutableArray<Finding> Faults)
{
    /// <summary>The row's place for people: <c>inputs.rig:28</c>; empty if there is none.</summary>
    public string PlaceText => Place is { } place ? $"{place.Source.Path}:{place.Source.PositionOf(place.Span.Start).Line + 1}" : "";

    /// <summary>The most findings spelt out in one row.</summary>
    internal const int MostFaults = 50;

    /// <summary>The findings for people, one per line.</summary>
    public string FaultText => string.Join('\n', Faults.Take(MostFaults).Select(f => $"{f.Code}: {f.Message}").Concat(Faults.Length > MostFaults ? ["and more: patchlang check tells them"] : Array.Empty<string>()));
}

/// <summary>How a section is laid out on paper.</summary>
public enum SectionLayout
{
    /// <summary>A table.</summary>
    Table,

    /// <summary>
    /// Labels to cut out, side by side, at actual size: the first column is the number, the second the name, the third small print.
    /// </summary>
    Strip,
}

/// <summary>One table of a sheet, with its heading. Empty columns are left out, except those to be filled in by hand.</summary>
public sealed record Section
{
    /// <param name="title">Its heading; empty if the sheet has only this section.</param>
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

    /// <summary>The columns that are not left out.</summary>
    public ImmutableArray<Column> Columns { get; }

    /// <summary>Whether a last column gives each row's place in the plan.</summary>
    public bool HasPlaces { get; init; } = true;

    /// <summary>The rows.</summary>
    public ImmutableArray<Row> Rows { get; }

    /// <summary>How it is laid out on paper.</summary>
    public SectionLayout Layout { get; init; }

    /// <summary>The width and height of one label of a strip, in millimetres.</summary>
    public (double Width, double Height) LabelSize { get; init; }
}

/// <summary>One or more pages that one person uses for one purpose.</summary>
/// <param name="Name">The name of its file, without extension: <c>input-list-tide</c>.</param>
/// <param name="Title">Its heading.</param>
/// <param name="Purpose">Who uses it, and for what: one sentence.</param>
/// <param name="Act">The acts it is for, by title: <c>The Tide Band</c>, <c>all day</c>.</param>
/// <param name="Sections">Its tables.</param>
public sealed record Sheet(string Name, string Title, string Purpose, string Act, ImmutableArray<Section> Sections)
{
    /// <summary>Dangers to people, to be read first.</summary>
    public ImmutableArray<string> Cautions { get; init; } = [];

    /// <summary>The name of its family, whose short sheets may share a page: <c>Worksheets</c>; null if it is in none.</summary>
    public string? Family { get; init; }
}

/// <summary>All sheets of a plan, and what is repeated on every page.</summary>
/// <param name="Plan">The plan's title or else its file name.</param>
/// <param name="Revision">The plan's revision, as the host words it; empty for none.</param>
/// <param name="Date">The date, as the host words it; empty for none.</param>
/// <param name="Sheets">The sheets, in the order of use during a day.</param>
public sealed record SheetSet(string Plan, string Revision, string Date, ImmutableArray<Sheet> Sheets)
{
    /// <summary>A warning to read before anything is built by these sheets, as the plan has faults; null if it has none.</summary>
    public string? Banner { get; init; }
}
