namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>The distances in a layout, in pixels.</summary>
/// <param name="Boxes">Between two boxes in a column.</param>
/// <param name="Lines">Between two parallel lines.</param>
/// <param name="Beside">Between a line and a box.</param>
/// <param name="Pitch">Between two free ports.</param>
/// <param name="Margin">Around the whole, and between components.</param>
internal sealed record Spacing(int Boxes = 26, int Lines = 12, int Beside = 16, int Pitch = 30, int Margin = 24)
{
    /// <summary>The distance between a cell and the next one below it.</summary>
    public int Between(Cell upper, Cell lower) => upper.IsBox && lower.IsBox ? Boxes : upper.IsBox || lower.IsBox ? Beside : Lines;
}
