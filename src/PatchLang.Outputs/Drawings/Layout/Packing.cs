namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>A connected component, with its bounds.</summary>
internal sealed record Part(List<Box> Boxes, List<Net> Nets, int Left, int Top, int Width, int Height)
{
    /// <summary>Measures a component that has been laid out.</summary>
    public static Part Of(List<Box> boxes, List<Net> nets)
    {
        var spots = nets.SelectMany(n => n.Paths).SelectMany(p => p).ToList();
        var left = Math.Min(boxes.Min(b => b.X - Lead(b, Flank.Left)), spots.Select(s => s.X).DefaultIfEmpty(int.MaxValue).Min());
        var right = Math.Max(boxes.Max(b => b.Right + Lead(b, Flank.Right)), spots.Select(s => s.X).DefaultIfEmpty(int.MinValue).Max());
        var top = Math.Min(boxes.Min(b => b.Y), spots.Select(s => s.Y).DefaultIfEmpty(int.MaxValue).Min());
        var bottom = Math.Max(boxes.Max(b => b.Bottom), spots.Select(s => s.Y).DefaultIfEmpty(int.MinValue).Max());
        return new Part(boxes, nets, left, top, right - left, bottom - top);
    }

    public void MoveTo(int x, int y)
    {
        var (right, down) = (x - Left, y - Top);
        foreach (var box in Boxes) (box.X, box.Y) = (box.X + right, box.Y + down);
        foreach (var net in Nets)
            net.Paths = [.. net.Paths.Select(p => p.Select(s => new Spot(s.X + right, s.Y + down)).ToArray())];
    }

    private static int Lead(Box box, Flank flank) => box.Ports.Where(p => p.Flank == flank).Select(p => p.Lead).DefaultIfEmpty(0).Max();
}

/// <summary>Arranges components in rows like words on a page: the first one first, about as wide as a screen.</summary>
internal static class Packing
{
    private const double Shape = 1.7;

    /// <summary>Moves the components to their places.</summary>
    /// <returns>The width and height of the whole, with margins.</returns>
    public static (int Width, int Height) Apply(List<Part> parts, Spacing spacing)
    {
        var gap = 2 * spacing.Margin;
        var area = parts.Sum(p => (double)(p.Width + gap) * (p.Height + gap));
        var widest = parts.Select(p => p.Width).DefaultIfEmpty(0).Max();
        var limit = Math.Max(widest, (int)Math.Sqrt(area * Shape));
        var (x, y, rowHeight, width) = (0, 0, 0, 0);
        foreach (var part in parts)
        {
            if (x > 0 && x + part.Width > limit)
            {
                y += rowHeight + gap;
                (x, rowHeight) = (0, 0);
            }
            part.MoveTo(spacing.Margin + x, spacing.Margin + y);
            x += part.Width + gap;
            rowHeight = Math.Max(rowHeight, part.Height);
            width = Math.Max(width, x - gap);
        }
        return (width + 2 * spacing.Margin, y + rowHeight + 2 * spacing.Margin);
    }
}
