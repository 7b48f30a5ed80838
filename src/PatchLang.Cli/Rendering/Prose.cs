namespace PatchLang.Cli.Rendering;

/// <summary>Wraps paragraphs into lines that are easy to read. Indented lines keep their layout.</summary>
internal static class Prose
{
    private const int Width = 96;

    /// <summary>Writes the paragraphs with every line indented.</summary>
    public static void Write(string text, int indent, Terminal terminal)
    {
        foreach (var paragraph in text.ReplaceLineEndings("\n").Split('\n'))
        {
            if (paragraph.StartsWith(' '))
            {
                terminal.Output.WriteLine(new string(' ', indent) + paragraph);
                continue;
            }
            var column = 0;
            foreach (var word in paragraph.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            {
                var gap = column == 0 ? new string(' ', indent) : " ";
                if (column > 0 && column + gap.Length + word.Length > Width)
                {
                    terminal.Output.WriteLine();
                    column = 0;
                    gap = new string(' ', indent);
                }
                terminal.Output.Write(gap);
                terminal.Output.Write(word);
                column += gap.Length + word.Length;
            }
            terminal.Output.WriteLine();
        }
    }
}
