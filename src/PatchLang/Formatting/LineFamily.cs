namespace PatchLang.Formatting;

/// <summary>
/// Kinds of lines that are aligned: consecutive lines of one family share their columns.
/// <see cref="StatementLayout"/> numbers the columns.
/// </summary>
internal enum LineFamily : byte
{
    /// <summary>Not aligned.</summary>
    None,

    Use,
    Act,
    Format,
    Gear,
    Card,
    Unit,
    Loom,
    Cable,
    Follow,
    Reserve,
    Feed,
    Bundle,
    Insert,
    Expect,

    /// <summary>A line inside the braces of a format.</summary>
    FormatItem,

    /// <summary>A line inside the braces of gear or a card.</summary>
    GearItem,

    /// <summary>A line inside the braces of a network.</summary>
    NetworkItem,

    /// <summary>A setting inside other braces.</summary>
    Setting,
}

internal static class LineFamilies
{
    /// <summary>
    /// The minimum position of a column, from the line's indentation: after the longest keyword of such lines, so that all bodies look alike.
    /// </summary>
    public static int EarliestOf(this LineFamily family, int column) => (family, column) switch
    {
        (LineFamily.GearItem, 1) => "route ".Length,
        (LineFamily.FormatItem, 1) => "channels ".Length,
        (LineFamily.NetworkItem, 1) => "latency ".Length,
        _ => 0,
    };

    /// <summary>Columns whose text does not start with a sign get more space before them, if several lines have them.</summary>
    public static bool StandsApart(this LineFamily family, int column) => (family, column) switch
    {
        (LineFamily.Unit, 2 or 3) => true,
        (LineFamily.GearItem, 3 or 4 or 6) => true,
        _ => false,
    };
}
