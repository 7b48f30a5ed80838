using PatchLang.Outputs.Sheets;

namespace PatchLang.Scripting.Reports;

/// <summary>A column of a table. A text is the heading of one.</summary>
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

    /// <summary>Whether rows give something for it.</summary>
    internal bool IsFilled => Kind is ColumnKind.Text or ColumnKind.Number;

    /// <summary>A column of whatever rows give; numbers stand to the right where there is nothing else.</summary>
    public static implicit operator TableColumn(string title) => new(title, ColumnKind.Text);

    /// <summary>A box to tick on paper: rows give nothing for it.</summary>
    public static TableColumn Tick(string title = "Done") => new(title, ColumnKind.Tick);

    /// <summary>Room to write by hand: rows give nothing for it.</summary>
    public static TableColumn WriteIn(string title) => new(title, ColumnKind.WriteIn);
}
