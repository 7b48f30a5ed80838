namespace PatchLang.Text;

/// <summary>The text of one file, with its line starts. Immutable.</summary>
public sealed class SourceText(string path, string content)
{
    private int[]? lineStarts;

    /// <summary>The file's path within the plan: relative to the root plan's folder, with forward slashes, or below <c>library/</c>.</summary>
    public string Path { get; } = path;

    /// <summary>The whole text of the file.</summary>
    public string Content { get; } = content;

    /// <summary>The number of UTF-16 units.</summary>
    public int Length => Content.Length;

    /// <summary>Whether the text belongs to the library that ships with the compiler.</summary>
    public bool IsLibrary => Path.StartsWith("library/", StringComparison.Ordinal);

    /// <summary>The number of lines; a text that ends in a line break has an empty last line.</summary>
    public int LineCount => LineStarts.Length;

    private int[] LineStarts => lineStarts ??= FindLineStarts(Content);

    /// <summary>The zero-based line and column, in UTF-16 units, of a position. A position past the end counts as the end.</summary>
    public (int Line, int Column) PositionOf(int offset)
    {
        offset = Math.Clamp(offset, 0, Content.Length);
        var line = Array.BinarySearch(LineStarts, offset);
        if (line < 0) line = ~line - 1;
        return (line, offset - LineStarts[line]);
    }

    /// <summary>The position of a zero-based line and column; both are clamped to the text.</summary>
    public int OffsetOf(int line, int column)
    {
        if (line >= LineStarts.Length) return Content.Length;
        var span = LineSpan(Math.Max(line, 0));
        return span.Start + Math.Clamp(column, 0, span.Length);
    }

    /// <summary>The span of a zero-based line, without its line break.</summary>
    public TextSpan LineSpan(int line)
    {
        var start = LineStarts[line];
        var end = line + 1 < LineStarts.Length ? LineStarts[line + 1] : Content.Length;
        while (end > start && Content[end - 1] is '\r' or '\n') end--;
        return TextSpan.FromTo(start, end);
    }

    /// <summary>The text of a span.</summary>
    public ReadOnlySpan<char> Slice(TextSpan span) => Content.AsSpan(span.Start, span.Length);

    /// <summary>The text after a change.</summary>
    public SourceText With(TextChange change)
    {
        var changed = new SourceText(Path, string.Concat(Content.AsSpan(0, change.Span.Start), change.NewText, Content.AsSpan(change.Span.End)));
        if (lineStarts is { } known) changed.lineStarts = Moved(known, change, changed.Content);
        return changed;
    }

    /// <summary>The line starts after a change: those before it stay, those after it are shifted.</summary>
    private static int[] Moved(int[] starts, TextChange change, string content)
    {
        // A line break that ends at the change may become half of one (CR LF), so the line start after it counts as changed.
        var head = Math.Max(1, CountBelow(starts, change.Span.Start));
        var tail = CountBelow(starts, change.Span.End + 1);
        var end = change.Span.Start + change.NewText.Length;
        var between = new List<int>();
        AddLineStarts(between, content, starts[head - 1], end);
        var moved = new int[head + between.Count + starts.Length - tail];
        Array.Copy(starts, moved, head);
        between.CopyTo(moved, head);
        for (var i = 1; i <= starts.Length - tail; i++) moved[^i] = starts[^i] + end - change.Span.End;
        return moved;
    }

    private static int CountBelow(int[] starts, int offset)
    {
        var index = Array.BinarySearch(starts, offset);
        return index < 0 ? ~index : index;
    }

    private static int[] FindLineStarts(string text)
    {
        var starts = new List<int> { 0 };
        AddLineStarts(starts, text, 0, text.Length);
        return [.. starts];
    }

    /// <summary>Adds the line starts after one position, up to and including another.</summary>
    private static void AddLineStarts(List<int> starts, string text, int from, int to)
    {
        for (var i = from; i < to; i++)
        {
            var next = text.AsSpan(i, to - i).IndexOfAny('\r', '\n');
            if (next < 0) break;
            i += next;
            if (text[i] == '\r' && i + 1 < text.Length && text[i + 1] == '\n') i++;
            if (i < to) starts.Add(i + 1);
        }
    }
}
