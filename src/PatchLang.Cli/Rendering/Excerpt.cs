using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>The line of text at a place, with carets below it.</summary>
internal static class Excerpt
{
    private const int Width = 120;
    private const int Before = 40;

    /// <summary>Writes the line. A long line is shortened to what is around the place; of a place over several lines, the first is shown.</summary>
    public static void Write(Place place, Tone tone, Terminal terminal)
    {
        var source = place.Source;
        var (line, _) = source.PositionOf(place.Span.Start);
        var shown = source.LineSpan(line);
        if (line == 0 && source.Content.StartsWith('\uFEFF')) shown = TextSpan.FromTo(1, Math.Max(1, shown.End));
        var start = Math.Clamp(place.Span.Start, shown.Start, shown.End);
        var end = Math.Clamp(place.Span.End, start, shown.End);

        var from = shown.Length <= Width || start - shown.Start <= Before ? shown.Start : start - Before;
        var to = Math.Min(shown.End, from + Width);
        if (from > shown.Start && char.IsLowSurrogate(source.Content[from])) from++;
        if (to < shown.End && char.IsLowSurrogate(source.Content[to])) to--;
        end = Math.Min(end, to);

        var lead = from > shown.Start ? "…" : "";
        var head = lead + source.Content[from..start];
        var carets = new string('^', Math.Max(1, Readable.WidthOf(head + source.Content[start..end]) - Readable.WidthOf(head)));
        var number = $"{line + 1,6} ";
        terminal.Output.Write(terminal.Paint(Tone.Quiet, number + "| "));
        terminal.Output.WriteLine(Readable.Line(head + source.Content[start..to]) + (to < shown.End ? "…" : ""));
        terminal.Output.Write(terminal.Paint(Tone.Quiet, new string(' ', number.Length) + "| "));
        terminal.Output.WriteLine(new string(' ', Readable.WidthOf(head)) + terminal.Paint(tone, carets));
    }
}
