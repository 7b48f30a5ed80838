using System.Collections.Immutable;

namespace PatchLang.Cli.Rendering;

/// <summary>A table for a person to read: columns are as wide as their content, up to a limit.</summary>
internal static class TextTable
{
    private const int WidestColumn = 44;

    /// <summary>Writes the table, indented by two spaces.</summary>
    public static void Write(Terminal terminal, ImmutableArray<string> heads, IEnumerable<ImmutableArray<string>> cells)
    {
        List<ImmutableArray<string>> rows = [heads, .. cells];
        var widths = Enumerable.Range(0, heads.Length).Select(c => Math.Min(WidestColumn, rows.Max(r => r[c].Length))).ToArray();
        for (var i = 0; i < rows.Count; i++)
        {
            var line = "  " + string.Join("  ", rows[i].Select((cell, c) => cell.PadRight(widths[c]))).TrimEnd();
            terminal.Output.WriteLine(i == 0 ? terminal.Paint(Tone.Quiet, line) : Readable.Line(line));
        }
    }
}
