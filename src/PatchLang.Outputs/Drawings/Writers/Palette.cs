using System.Globalization;

namespace PatchLang.Outputs.Drawings.Writers;

/// <summary>
/// The colours of drawings, on light and on dark backgrounds. Every text has a contrast of at least 4.5 to 1 to its background (WCAG 2.2,
/// success criterion 1.4.3), and so have lines and highlights; a test computes it.
/// </summary>
internal sealed record Palette(
    string Ground, string Ink, string Quiet, string Fill, string Card, string Edge,
    string Analog, string Digital, string Network, string Time, string Inside, string Mark,
    string Added, string Removed, string Changed)
{
    /// <summary>Dark on light; also for print.</summary>
    public static Palette Light { get; } = new(
        "#fbfaf6", "#17242c", "#45555f", "#ffffff", "#e9f0ef", "#50626d",
        "#7c4708", "#0a5a8c", "#1b663a", "#86286a", "#55606a", "#a3141f",
        "#005c4d", "#8f1d4f", "#4a3a9e");

    /// <summary>Light on dark.</summary>
    public static Palette Dark { get; } = new(
        "#11171b", "#e9eff2", "#b4c1c9", "#1a2329", "#26333b", "#8a9ca8",
        "#e6b673", "#82c6f2", "#88d6a0", "#e79fd4", "#aab7c0", "#ff9c94",
        "#6fdcc4", "#ffa3c6", "#c4b6ff");

    /// <summary>All colours, as custom properties of a style sheet.</summary>
    public string Properties =>
        $"--ground:{Ground};--ink:{Ink};--quiet:{Quiet};--fill:{Fill};--card:{Card};--edge:{Edge};--analog:{Analog};--digital:{Digital};--network:{Network};--time:{Time};--inside:{Inside};--mark:{Mark};--added:{Added};--removed:{Removed};--changed:{Changed}";

    /// <summary>The contrast of two colours, from 1 to 21 (WCAG 2.2, "contrast ratio").</summary>
    public static double Contrast(string one, string other)
    {
        var (first, second) = (Luminance(one), Luminance(other));
        return (Math.Max(first, second) + 0.05) / (Math.Min(first, second) + 0.05);
    }

    private static double Luminance(string colour)
    {
        return 0.2126 * Part(1) + 0.7152 * Part(3) + 0.0722 * Part(5);

        double Part(int at)
        {
            var value = int.Parse(colour.AsSpan(at, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0;
            return value <= 0.04045 ? value / 12.92 : Math.Pow((value + 0.055) / 1.055, 2.4);
        }
    }
}
