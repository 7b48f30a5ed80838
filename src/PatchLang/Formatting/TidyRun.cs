using System.Collections;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>Formats one file.</summary>
internal sealed class TidyRun
{
    private const int Indentation = 2;
    private const int Hanging = 4;

    private readonly SyntaxTree tree;
    private readonly ColumnWriter writer;
    private readonly Dictionary<Shape, StatementLayout> layouts = new(ReferenceEqualityComparer.Instance);

    // State for the current statement.
    private readonly Stack<int> open = new();
    private readonly List<int> widths = [];
    private BitArray isExpanded = new(64);
    private StatementReading reading = null!;
    private StatementLayout layout = null!;

    /// <param name="tree">The file.</param>
    /// <param name="take">Receives the formatted text, piece by piece; a piece is valid only during the call.</param>
    public TidyRun(SyntaxTree tree, Action<ReadOnlySpan<char>> take)
    {
        this.tree = tree;
        writer = new ColumnWriter(take, tree.Source.Length, LineEndOf(tree.Source.Content));
    }

    /// <summary>Writes the whole file.</summary>
    public void Write()
    {
        var header = tree.Source.Slice(tree.Header);
        if (header is ['\uFEFF', ..])
        {
            writer.Write(header[..1]);
            writer.EndRun();
            header = header[1..];
        }
        // A U+FEFF that is not at the start would become a byte order mark if formatting moved it there.
        if (tree.Count > 0 && tree[0].Text.Span is ['\uFEFF', ..]) Verbatim(header);
        else Between(header, -1);
        for (var i = 0; i < tree.Count; i++)
        {
            var statement = tree[i];
            using (reading = statement.Read())
            {
                if (statement.Shape == Shape.TooLong)
                {
                    Verbatim(statement.Text.Span);
                    continue;
                }
                var end = reading.SpanOf(reading.TokenCount).Start;
                if (IsBroken(statement))
                {
                    Verbatim(statement.Text.Span[..end]);
                }
                else
                {
                    if (!layouts.TryGetValue(statement.Shape, out layout!)) layouts.Add(statement.Shape, layout = new StatementLayout(statement.Shape));
                    WriteStatement();
                }
                // An unterminated comment extends to the next statement: anything written after it would become part of it.
                if (reading.KindOf(reading.TokenCount - 1) != TokenKind.OpenBlock) Between(statement.Text.Span[end..], i);
            }
        }
        writer.Finish();
    }

    private static bool IsBroken(Statement statement) => statement.Kind == NodeKind.Statement || !statement.Shape.Errors.IsEmpty;

    private void Verbatim(ReadOnlySpan<char> text)
    {
        writer.EndRun();
        writer.WriteLines(text);
        writer.EndRun();
    }

    // Between statements, before the first and after the last.

    private void Between(ReadOnlySpan<char> text, int before)
    {
        var isLast = before + 1 == tree.Count;
        if (isLast && text.IndexOfAnyExcept(" \t\r\n") < 0)
        {
            if (before >= 0) writer.Break(0);
            return;
        }
        Boundary(text, 0, 0, hasBefore: before >= 0, hasBehind: !isLast, mayBeginBlank: before >= 0, mayEndBlank: true);
        // The first line of a statement with errors keeps its indentation, like its other lines.
        if (!isLast && IsBroken(tree[before + 1])) writer.Write(IndentationAtEnd(text, isAtStart: before < 0));
    }

    private static ReadOnlySpan<char> IndentationAtEnd(ReadOnlySpan<char> text, bool isAtStart)
    {
        var start = text.TrimEnd(" \t").Length;
        return start == 0 ? isAtStart ? text : "" : text[start - 1] is '\r' or '\n' ? text[start..] : "";
    }

    /// <summary>
    /// Writes the text between two lines: comments that end the first, comments on their own lines, and the line break before the second.
    /// </summary>
    private void Boundary(ReadOnlySpan<char> text, int commentIndent, int indent, bool hasBefore, bool hasBehind, bool mayBeginBlank, bool mayEndBlank)
    {
        if (!text.Contains('/'))
        {
            var breaks = text.IndexOfAny('\r', '\n') < 0 ? 0 : BreaksIn(text);
            if (hasBefore) NewLine(mayBeginBlank && mayEndBlank && breaks > 1, indent);
            return;
        }
        var gap = new Gap(text);
        var isOnLineBefore = hasBefore;
        var isAtStart = !hasBefore;
        var isFirst = true;
        var endsLine = false;
        var isJoinedToNext = false;
        while (gap.MoveNext())
        {
            var breaks = gap.Current.BreaksBefore;
            // A multi-line comment between two statements on one line goes with the second.
            if (isOnLineBefore && breaks == 0 && !endsLine && gap.SpansLines && hasBehind && IsJoinedToNext(gap)) breaks = 1;
            if (breaks > 0 || endsLine)
            {
                if (isAtStart) isAtStart = false;
                else NewLine(breaks > 1 && (mayBeginBlank || !isOnLineBefore), commentIndent);
                isOnLineBefore = false;
                writer.EndRun();
            }
            else if (isAtStart)
            {
                isAtStart = false;
            }
            else if (isOnLineBefore && isFirst && gap.Current.IsLine)
            {
                writer.LineComment(gap.CurrentText);
                (isFirst, endsLine) = (false, true);
                continue;
            }
            else
            {
                writer.EndRow();
                writer.Write(" ");
            }
            writer.WriteLines(gap.CurrentText);
            endsLine = gap.Current.IsLine;
            isFirst = false;
            isJoinedToNext = !isOnLineBefore && !endsLine;
        }
        if (isJoinedToNext && hasBehind && gap.BreaksBehind == 0) writer.Write(" ");
        else NewLine(hasBehind && mayEndBlank && (mayBeginBlank || !isOnLineBefore) && gap.BreaksBehind > 1, hasBehind ? indent : 0);
    }

    private static bool IsJoinedToNext(Gap gap)
    {
        while (gap.MoveNext())
            if (gap.Current.IsLine || gap.Current.BreaksBefore > 0) return false;
        return gap.BreaksBehind == 0;
    }

    private static int BreaksIn(ReadOnlySpan<char> whiteSpace)
    {
        var gap = new Gap(whiteSpace);
        gap.MoveNext();
        return gap.BreaksBehind;
    }

    private void NewLine(bool hasBlank, int indent)
    {
        if (!hasBlank)
        {
            writer.Break(indent);
            return;
        }
        writer.Break(0);
        writer.BlankLine();
        writer.Indent(indent);
    }

    // Inside a statement.

    private void WriteStatement()
    {
        FindExpanded();
        var depth = 0;
        for (int first = 0, end; first < reading.TokenCount; first = end)
        {
            if (first > 0) BoundaryBefore(first, ref depth);
            while (true)
            {
                end = EndOfLine(first);
                if (BracesToExpand(first, end, depth * Indentation) is not { } brace) break;
                isExpanded[brace] = true;
            }
            WriteLine(first, end, depth * Indentation);
            if (IsExpandedBrace(end - 1)) depth++;
        }
    }

    private bool IsExpandedBrace(int token) => reading.KindOf(token) == TokenKind.OpenBrace && isExpanded[token];

    private void BoundaryBefore(int token, ref int depth)
    {
        var commentDepth = depth;
        var closes = reading.KindOf(token) == TokenKind.CloseBrace;
        if (closes) depth--;
        Boundary(GapBefore(token), commentDepth * Indentation, depth * Indentation, hasBefore: true, hasBehind: true,
            mayBeginBlank: reading.KindOf(token - 1) != TokenKind.OpenBrace, mayEndBlank: !closes);
    }

    /// <summary>Braces stay expanded over several lines if they were, that is, if there was a line break between two of their items.</summary>
    private void FindExpanded()
    {
        if (isExpanded.Length < reading.TokenCount) isExpanded = new BitArray(reading.TokenCount * 2);
        isExpanded.SetAll(false);
        if (!reading.TextOf(reading.SpanOf(0, reading.TokenCount)).ContainsAny('\r', '\n')) return;
        open.Clear();
        for (var t = 0; t < reading.TokenCount; t++)
        {
            var kind = reading.KindOf(t);
            if (t > 0 && open.Count > 0 && Gap.HasBreak(GapBefore(t)) && (IsBetweenItems(t) || GapBefore(t).Contains("//", StringComparison.Ordinal)))
                foreach (var brace in open) isExpanded[brace] = true;
            if (kind == TokenKind.OpenBrace) open.Push(t);
            else if (kind == TokenKind.CloseBrace) open.Pop();
        }
    }

    private bool IsBetweenItems(int token)
    {
        if (layout.IsItem(token)) return true;
        if (reading.KindOf(token) != TokenKind.CloseBrace) return false;
        // Empty braces stay on one line, unless they contain a comment.
        return reading.KindOf(token - 1) != TokenKind.OpenBrace || GapBefore(token).Contains('/');
    }

    /// <summary>The end of the line that begins with a token, as determined by expanded braces.</summary>
    private int EndOfLine(int first)
    {
        // Expanded braces only occur within expanded braces, so an item is a line unless it is inside braces that this line opens and closes.
        var depth = 0;
        for (var t = first; t < reading.TokenCount; t++)
        {
            var kind = reading.KindOf(t);
            if (t > first && depth == 0 && (kind == TokenKind.CloseBrace || layout.IsItem(t))) return t;
            if (kind == TokenKind.CloseBrace && t > first) depth--;
            if (kind != TokenKind.OpenBrace) continue;
            if (isExpanded[t]) return t + 1;
            depth++;
        }
        return reading.TokenCount;
    }

    /// <summary>The braces to expand in a line that is too long and has no hops to break at; null if none.</summary>
    private int? BracesToExpand(int first, int end, int indent)
    {
        if (indent + FlatWidth(first, end) <= ColumnWriter.WidestLine) return null;
        var depth = 0;
        int? found = null;
        for (var t = first; t < end; t++)
        {
            switch (reading.KindOf(t))
            {
                case TokenKind.Arrow when depth == 0:
                    return null;
                case TokenKind.OpenBrace when !isExpanded[t]:
                    if (depth++ == 0 && layout.IsItem(t + 1)) found ??= t;
                    break;
                case TokenKind.CloseBrace when t > first:
                    depth--;
                    break;
            }
        }
        return found;
    }

    private int FlatWidth(int first, int end)
    {
        var width = 0;
        for (var t = first; t < end; t++)
        {
            if (t > first) width += SpacesBefore(t);
            width += DisplayWidth.Of(reading.TextOf(t));
        }
        return width;
    }

    private int SpacesBefore(int token)
    {
        var gap = GapBefore(token);
        if (!gap.Contains('/')) return layout.SpacesBefore(token);
        var comments = new Gap(gap);
        var width = 0;
        while (comments.MoveNext()) width += 1 + DisplayWidth.Of(comments.CurrentText);
        return width + (IsClosing(token) ? 0 : 1);
    }

    private bool IsClosing(int token) => reading.KindOf(token) is TokenKind.Comma or TokenKind.CloseBracket or TokenKind.CloseParen;

    private ReadOnlySpan<char> GapBefore(int token) => reading.TextOf(TextSpan.FromTo(reading.SpanOf(token - 1).End, reading.SpanOf(token).Start));

    private void WriteLine(int first, int end, int indent)
    {
        var isForced = false;
        for (var t = first + 1; t < end && !isForced; t++) isForced = Gap.ForcesBreak(GapBefore(t));
        var isBroken = isForced || indent + FlatWidth(first, end) > ColumnWriter.WidestLine;
        // A line that opens expanded braces, or spans several lines itself, is not aligned.
        var isAlone = isBroken || IsExpandedBrace(end - 1);
        var family = layout.FamilyOf(first);
        writer.BeginRow(family, indent, isAlone || family == LineFamily.None);
        if (isBroken) WriteBroken(first, end, indent);
        else WriteFlat(first, end);
    }

    private void WriteFlat(int first, int end)
    {
        var depth = 0;
        for (var t = first; t < end; t++)
        {
            if (t > first)
            {
                var gap = GapBefore(t);
                var hasComment = gap.Contains('/');
                if (hasComment) CommentsInLine(gap);
                Separate(t, depth == 0, hasComment);
            }
            depth += DepthOf(t, first);
            writer.Write(reading.TextOf(t));
        }
    }

    private void CommentsInLine(ReadOnlySpan<char> text)
    {
        var gap = new Gap(text);
        while (gap.MoveNext())
        {
            writer.Write(" ");
            writer.Write(gap.CurrentText);
        }
    }

    private void Separate(int token, bool isOutermost, bool hasComment)
    {
        if (isOutermost && layout.ColumnOf(token) is var column and > 0) writer.Column(column);
        else if (hasComment) writer.Write(IsClosing(token) ? "" : " ");
        else writer.Write("  ".AsSpan(0, layout.SpacesBefore(token)));
    }

    private int DepthOf(int token, int first) => reading.KindOf(token) switch
    {
        TokenKind.OpenBrace or TokenKind.OpenParen or TokenKind.OpenBracket => 1,
        TokenKind.CloseBrace when token > first => -1,
        TokenKind.CloseParen or TokenKind.CloseBracket => -1,
        _ => 0,
    };

    /// <summary>Writes a line broken over several: before hops, otherwise after commas, and where comments force it.</summary>
    private void WriteBroken(int first, int end, int indent)
    {
        var hanging = indent + Hanging;
        var (colon, arrow) = WayOf(first, end);
        MeasurePieces(first, end);
        // The hops begin on their own line after the origin; if that is still too long, the origin gets its own line too.
        var originBreaks = arrow > 0 && colon > 0 && indent + FlatWidth(first, arrow) > ColumnWriter.WidestLine;
        var wayBreaks = arrow > 0 && (!originBreaks || hanging + FlatWidth(colon, end) > ColumnWriter.WidestLine);
        var listHanging = arrow < 0 ? hanging : hanging + Hanging;
        var column = indent;
        var depth = 0;
        var brackets = 0;
        var isFirstLine = true;
        for (var t = first; t < end; t++)
        {
            var kind = reading.KindOf(t);
            if (t > first)
            {
                var gap = GapBefore(t);
                var hasComment = gap.Contains('/');
                var isBroken = hasComment && CommentsOverLines(gap, hanging, ref column, ref isFirstLine);
                var isFull = column + 1 + widths[t - first] > ColumnWriter.WidestLine;
                var beginsHop = arrow > 0 && depth == 0 && kind == TokenKind.Arrow;
                var beginsPart = (t == colon && originBreaks) || (t == arrow && wayBreaks);
                if (!isBroken && (beginsPart || (isFull && (beginsHop || (brackets == 0 && reading.KindOf(t - 1) == TokenKind.Comma)))))
                {
                    column = beginsPart || beginsHop ? hanging : listHanging;
                    writer.Break(column);
                    isBroken = true;
                    isFirstLine = false;
                }
                if (!isBroken)
                {
                    Separate(t, depth == 0 && isFirstLine, hasComment);
                    column += hasComment ? 1 : layout.SpacesBefore(t);
                }
            }
            depth += DepthOf(t, first);
            brackets += kind == TokenKind.OpenBracket ? 1 : kind == TokenKind.CloseBracket ? -1 : 0;
            writer.Write(reading.TextOf(t));
            column += DisplayWidth.Of(reading.TextOf(t));
        }
    }

    /// <summary>The first colon and the first arrow of a line outside all brackets; −1 if there is none.</summary>
    private (int Colon, int Arrow) WayOf(int first, int end)
    {
        var (colon, arrow) = (-1, -1);
        var depth = 0;
        for (var t = first; t < end && arrow < 0; t++)
        {
            if (depth == 0 && reading.KindOf(t) == TokenKind.Arrow) arrow = t;
            if (depth == 0 && reading.KindOf(t) == TokenKind.Colon && colon < 0) colon = t;
            depth += DepthOf(t, first);
        }
        return (colon, arrow);
    }

    /// <summary>For each token, the width up to the next possible line break: for a hop up to the next hop, otherwise up to the next comma.</summary>
    private void MeasurePieces(int first, int end)
    {
        widths.Clear();
        for (var t = first; t < end; t++) widths.Add(0);
        var toComma = 0;
        var toHop = 0;
        var brackets = 0;
        for (var t = end - 1; t >= first; t--)
        {
            var kind = reading.KindOf(t);
            var width = DisplayWidth.Of(reading.TextOf(t));
            brackets += kind == TokenKind.CloseBracket ? 1 : kind == TokenKind.OpenBracket ? -1 : 0;
            toComma = width + (kind == TokenKind.Comma && brackets == 0 ? 0 : toComma);
            toHop += width;
            widths[t - first] = kind == TokenKind.Arrow ? toHop : toComma;
            if (kind == TokenKind.Arrow) toComma = toHop = 0;
            else if (t > first) (toComma, toHop) = (toComma + SpacesBefore(t), toHop + SpacesBefore(t));
        }
    }

    /// <summary>Writes the comments before a token; returns whether the line has to be broken after the last.</summary>
    private bool CommentsOverLines(ReadOnlySpan<char> text, int hanging, ref int column, ref bool isFirstLine)
    {
        var gap = new Gap(text);
        var endsLine = false;
        var isOnOwnLine = false;
        while (gap.MoveNext())
        {
            if (gap.Current.BreaksBefore > 0 || endsLine)
            {
                writer.Break(hanging);
                (column, isFirstLine, isOnOwnLine) = (hanging, false, true);
            }
            else
            {
                writer.Write(gap.Current.IsLine ? "  " : " ");
                column++;
            }
            if (gap.SpansLines)
            {
                writer.EndRow();
                isFirstLine = false;
            }
            writer.WriteLines(gap.CurrentText);
            column += DisplayWidth.Of(gap.CurrentText);
            endsLine = gap.Current.IsLine;
        }
        if (!endsLine && !(isOnOwnLine && gap.BreaksBehind > 0)) return false;
        writer.Break(hanging);
        (column, isFirstLine) = (hanging, false);
        return true;
    }

    /// <summary>The most frequent kind of line ending in a text.</summary>
    private static string LineEndOf(ReadOnlySpan<char> text)
    {
        var (both, feeds, returns) = (0, 0, 0);
        for (int at; (at = text.IndexOfAny('\r', '\n')) >= 0;)
        {
            var length = 1;
            if (text[at] == '\n') feeds++;
            else if (at + 1 < text.Length && text[at + 1] == '\n') (both, length) = (both + 1, 2);
            else returns++;
            text = text[(at + length)..];
        }
        return both > feeds && both >= returns ? "\r\n" : returns > feeds ? "\r" : "\n";
    }
}
