namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>How much room a layout leaves.</summary>
/// <param name="Boxes">Between two boxes, one above the other.</param>
/// <param name="Lines">Between two lines side by side.</param>
/// <param name="Beside">Between a line and a box.</param>
/// <param name="Pitch">Between two ports, where the layout sets them.</param>
/// <param name="Margin">Around the whole, and between parts that do not hang together.</param>
internal sealed record Spacing(int Boxes = 26, int Lines = 12, int Beside = 16, int Pitch = 30, int Margin = 24)
{
    /// <summary>The room between a cell and the next below it.</summary>
    public int Between(Cell upper, Cell lower) => upper.IsBox && lower.IsBox ? Boxes : upper.IsBox || lower.IsBox ? Beside : Lines;
}
