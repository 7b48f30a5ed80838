namespace PatchLang.Syntax;

/// <summary>The <c>///</c> lines before a statement. They lie in the text of the statement before it, or in the header.</summary>
internal static class Documentation
{
    /// <summary>The lines directly before a statement, marks and one space behind them taken off. An <c>allow</c> may stand between.</summary>
    public static string Before(SyntaxTree tree, int index)
    {
        var documentation = Read(GapBefore(tree, index), isFileStart: index == 0);
        return documentation.Length == 0 && index > 0 && tree[index - 1].Kind == NodeKind.Allow ? Before(tree, index - 1) : documentation;
    }

    private static ReadOnlySpan<char> GapBefore(SyntaxTree tree, int index)
    {
        if (index == 0) return tree.Source.Slice(tree.Header).TrimStart('\uFEFF');
        using var previous = tree[index - 1].Read();
        var end = previous.SpanOf(previous.TokenCount).Start;
        return tree[index - 1].Text.Span[end..];
    }

    private static string Read(ReadOnlySpan<char> gap, bool isFileStart)
    {
        var lines = new List<string>();
        // The last piece is what stands before the statement on its own line.
        var end = gap.LastIndexOfAny('\r', '\n');
        if (end < 0 || !gap[(end + 1)..].IsWhiteSpace()) return "";
        while (end > 0)
        {
            var stop = gap[end] == '\n' && gap[end - 1] == '\r' ? end - 1 : end;
            var start = gap[..stop].LastIndexOfAny('\r', '\n') + 1;
            var line = gap[start..stop].Trim();
            // What begins on the last line of the statement before is a remark on that one.
            if (!line.StartsWith("///") || line.StartsWith("////") || (start == 0 && !isFileStart)) break;
            lines.Add((line is [_, _, _, ' ', ..] ? line[4..] : line[3..]).ToString());
            end = start - 1;
        }
        lines.Reverse();
        return string.Join('\n', lines);
    }
}
