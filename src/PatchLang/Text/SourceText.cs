namespace PatchLang.Text;

/// <summary>The text of one file, and where its lines begin. Immutable.</summary>
public sealed class SourceText(string path, string content)
{
    private int[]? lineStarts;

    /// <summary>The file's path as the plan sees it: relative to the root plan's folder, with forward slashes, or below <c>library/</c>.</summary>
    public string Path { get; } = path;

    /// <summary>Every character of the file.</summary>
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

    /// <summary>The position of a zero-based line and column; both are brought into range.</summary>
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

    /// <summary>The text with one change made.</summary>
    public SourceText With(TextChange change) =>
        new(Path, string.Concat(Content.AsSpan(0, change.Span.Start), change.NewText, Content.AsSpan(change.Span.End)));

    private static int[] FindLineStarts(string text)
    {
        var starts = new List<int> { 0 };
        for (var i = 0; i < text.Length; i++)
        {
            var next = text.AsSpan(i).IndexOfAny('\r', '\n');
            if (next < 0) break;
            i += next;
            if (text[i] == '\r' && i + 1 < text.Length && text[i + 1] == '\n') i++;
            starts.Add(i + 1);
        }
        return [.. starts];
    }
}
