namespace PatchLang.Formatting;

/// <summary>
/// Lines that are set in columns with their neighbours: consecutive lines of one family share their columns.
/// The numbers of the columns are given where <see cref="StatementLayout"/> finds them.
/// </summary>
internal enum LineFamily : byte
{
    /// <summary>Stands alone.</summary>
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
    /// <summary>Where a column stands at the earliest, from the line's indentation: behind the longest word that opens such lines, so that all bodies look alike.</summary>
    public static int EarliestOf(this LineFamily family, int column) => (family, column) switch
    {
        (LineFamily.GearItem, 1) => "route ".Length,
        (LineFamily.FormatItem, 1) => "channels ".Length,
        (LineFamily.NetworkItem, 1) => "latency ".Length,
        _ => 0,
    };

    /// <summary>Columns without a mark of their own in front stand further apart, where several lines have them.</summary>
    public static bool StandsApart(this LineFamily family, int column) => (family, column) switch
    {
        (LineFamily.Unit, 2 or 3) => true,
        (LineFamily.GearItem, 3 or 4 or 6) => true,
        _ => false,
    };
}
