namespace PatchLang.Syntax;

/// <summary>Reads the <c>///</c> lines before a statement. They are part of the preceding statement's text, or of the file's header.</summary>
internal static class Documentation
{
    /// <summary>
    /// The <c>///</c> lines directly before a statement, without the slashes and one space after them. An <c>allow</c> may come between.
    /// </summary>
    public static string Before(SyntaxTree tree, int index)
    {
        var documentation = Read(GapBefore(tree, index), isFileStart: index == 0);
        return documentation.Length == 0 && index > 0 && tree[index - 1].Kind == NodeKind.Allow ? Before(tree, index - 1) : documentation;
    }

    private static ReadOnlySpan<char> GapBefore(SyntaxTree tree, int index)
    {
        if (index == 0) return tree.Source.Slice(tree.Header).TrimStart('\uFEFF');
        if (tree[index - 1].Shape == Shape.TooLong) return default; // it was not scanned to its end, so the gap can't be located
        using var previous = tree[index - 1].Read();
        var end = previous.SpanOf(previous.TokenCount).Start;
        return tree[index - 1].Text.Span[end..];
    }

    private static string Read(ReadOnlySpan<char> gap, bool isFileStart)
    {
        var lines = new List<string>();
        // A comment that begins on the previous statement's last line belongs to that statement.
        var isLineEmpty = isFileStart;
        for (var at = 0; at < gap.Length;)
        {
            var rest = gap[at..];
            var length = 1;
            switch (rest)
            {
                case ['\r' or '\n', ..]:
                    if (isLineEmpty) lines.Clear();
                    isLineEmpty = true;
                    length = LineEndLength(rest);
                    break;

                case ['/', '/', ..]:
                    length = rest.IndexOfAny('\r', '\n') is var end and >= 0 ? end : rest.Length;
                    var line = rest[..length].Trim();
                    if (isLineEmpty && line.StartsWith("///") && !line.StartsWith("////")) lines.Add((line is [_, _, _, ' ', ..] ? line[4..] : line[3..]).ToString());
                    else lines.Clear();
                    isLineEmpty = false;
                    break;

                case ['/', ..]:
                    length = rest[2..].IndexOf("*/") + 4;
                    lines.Clear();
                    isLineEmpty = false;
                    break;
            }
            at += length;
        }
        // Nothing but white space may come before the statement on its own line.
        return isLineEmpty ? string.Join('\n', lines) : "";
    }

    private static int LineEndLength(ReadOnlySpan<char> text) => text.StartsWith("\r\n") ? 2 : 1;
}
