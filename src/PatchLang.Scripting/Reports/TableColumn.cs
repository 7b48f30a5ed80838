using PatchLang.Outputs.Sheets;

namespace PatchLang.Scripting.Reports;

/// <summary>A column of a table. A string converts to the column with that heading.</summary>
public sealed class TableColumn
{
    private TableColumn(string title, ColumnKind kind)
    {
        Title = title ?? throw new ReportException("a column's heading is missing");
        Kind = kind;
    }

    /// <summary>Its heading.</summary>
    public string Title { get; }

    internal ColumnKind Kind { get; }

    /// <summary>Whether rows contain a cell for it.</summary>
    internal bool IsFilled => Kind is ColumnKind.Text or ColumnKind.Number;

    /// <summary>A column of values from rows; if all are numbers, they are right-aligned.</summary>
    public static implicit operator TableColumn(string title) => new(title, ColumnKind.Text);

    /// <summary>A box to tick on paper; rows contain no cell for it.</summary>
    public static TableColumn Tick(string title = "Done") => new(title, ColumnKind.Tick);

    /// <summary>Space to write by hand; rows contain no cell for it.</summary>
    public static TableColumn WriteIn(string title) => new(title, ColumnKind.WriteIn);
}
