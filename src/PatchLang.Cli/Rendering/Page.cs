using System.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>
/// Renders a Markdown page for a terminal. Supports what the pages of findings use: headings, paragraphs, lists, code and emphasis.
/// </summary>
internal static class Page
{
    /// <summary>Writes the page.</summary>
    public static void Write(string markdown, Terminal terminal)
    {
        var isCode = false;
        foreach (var line in markdown.TrimEnd().ReplaceLineEndings("\n").Split('\n'))
        {
            if (line.StartsWith("```", StringComparison.Ordinal)) isCode = !isCode;
            else if (isCode) terminal.Output.WriteLine(line.Length == 0 ? "" : $"    {terminal.Paint(Tone.Mend, line)}");
            else if (line.StartsWith('#')) terminal.Output.WriteLine(terminal.Paint(Tone.Strong, line.TrimStart('#', ' ')));
            else terminal.Output.WriteLine(Prose(line, terminal));
        }
    }

    /// <summary>A line of prose with code and emphasis in colour; without colour, code keeps its backticks, which show where it ends.</summary>
    private static string Prose(string line, Terminal terminal)
    {
        var prose = new StringBuilder();
        for (var at = 0; at < line.Length;)
        {
            if (Between(line, at, "**") is { } strong)
            {
                prose.Append(terminal.Paint(Tone.Strong, strong));
                at += strong.Length + 4;
            }
            else if (Between(line, at, "`") is { } code)
            {
                prose.Append(terminal.HasColour ? terminal.Paint(Tone.Mend, code) : $"`{code}`");
                at += code.Length + 2;
            }
            else
            {
                prose.Append(line[at++]);
            }
        }
        return prose.ToString();
    }

    private static string? Between(string line, int at, string mark)
    {
        if (string.CompareOrdinal(line, at, mark, 0, mark.Length) != 0) return null;
        var start = at + mark.Length;
        var end = line.IndexOf(mark, start, StringComparison.Ordinal);
        return end > start ? line[start..end] : null;
    }
}
