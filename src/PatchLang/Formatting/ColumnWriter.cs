using System.Buffers;
using System.Runtime.InteropServices;
using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>
/// Writes lines, aligning consecutive lines of one family in columns. Such a run ends at a blank line, a comment on its own line, a line of
/// another family or indentation, or a line that can't be aligned.
/// </summary>
internal sealed class ColumnWriter
{
    /// <summary>The column that lines should not exceed.</summary>
    public const int WidestLine = 120;

    private const int PieceLength = 1 << 12;
    private const int CommentColumn = 7;
    private const int ColumnCount = 8;
    private const int Nowhere = -1;

    private readonly Action<ReadOnlySpan<char>> take;
    private readonly ArrayBufferWriter<char> output = new();
    private readonly ArrayBufferWriter<char> run;
    private readonly List<Row> rows = [];
    private readonly List<Stop> stops = [];
    private readonly string lineEnd;
    private LineFamily family;
    private int indent = Nowhere;
    private int lineStart;
    private bool rowIsOpen;

    /// <param name="take">Receives the aligned text, piece by piece.</param>
    /// <param name="sizeHint">The approximate length of the text.</param>
    /// <param name="lineEnd">The line break.</param>
    public ColumnWriter(Action<ReadOnlySpan<char>> take, int sizeHint, string lineEnd)
    {
        this.take = take;
        // All of a large file may be one run.
        run = new ArrayBufferWriter<char>(Math.Max(256, sizeHint + sizeHint / 8));
        this.lineEnd = lineEnd;
    }

    /// <summary>Begins a line that may share columns with its neighbours; its indentation has been written.</summary>
    /// <param name="next">The line's family.</param>
    /// <param name="at">Its indentation.</param>
    /// <param name="isAlone">Whether it must not share columns.</param>
    public void BeginRow(LineFamily next, int at, bool isAlone)
    {
        // A comment before it on its line would shift the columns of all the others.
        isAlone |= run.WrittenCount - lineStart != at;
        if (isAlone || next != family || at != indent || next == LineFamily.None) EndRun(keepLine: true);
        (family, indent) = isAlone ? (next, Nowhere) : (next, at);
        rows.Add(new Row(lineStart, stops.Count, 0, at));
        rowIsOpen = true;
    }

    /// <summary>The text from here on is in a column. The column provides the spaces before it.</summary>
    public void Column(int column)
    {
        if (rowIsOpen) stops.Add(new Stop(column, run.WrittenCount));
        else Write(" ");
    }

    /// <summary>A comment at the end of the line, at least two spaces after its text.</summary>
    public void LineComment(ReadOnlySpan<char> comment)
    {
        if (rowIsOpen)
        {
            EndRow();
            stops.Add(new Stop(CommentColumn, run.WrittenCount));
        }
        else
        {
            Write("  ");
        }
        Write(comment);
    }

    /// <summary>The line's own text ends here; only comments may follow.</summary>
    public void EndRow()
    {
        if (!rowIsOpen) return;
        rows[^1] = rows[^1] with { End = run.WrittenCount };
        rowIsOpen = false;
    }

    /// <summary>Text within a line.</summary>
    public void Write(ReadOnlySpan<char> text) => run.Write(text);

    /// <summary>Text written as it is, possibly with line breaks of any kind.</summary>
    public void WriteLines(ReadOnlySpan<char> text)
    {
        for (int end; (end = text.IndexOfAny('\r', '\n')) >= 0;)
        {
            run.Write(text[..end]);
            run.Write(lineEnd);
            lineStart = run.WrittenCount;
            text = text[(end + (text[end..].StartsWith("\r\n") ? 2 : 1))..];
        }
        run.Write(text);
    }

    /// <summary>Ends the line and begins the next with an indentation.</summary>
    public void Break(int spaces)
    {
        EndRow();
        run.Write(lineEnd);
        lineStart = run.WrittenCount;
        Blanks(run, spaces);
    }

    /// <summary>Indents the line that has just begun.</summary>
    public void Indent(int spaces) => Blanks(run, spaces);

    /// <summary>Inserts a blank line before the current one, whose indentation is not yet written.</summary>
    public void BlankLine()
    {
        run.Write(lineEnd);
        lineStart = run.WrittenCount;
        EndRun(keepLine: false);
    }

    /// <summary>Ends the run: the next line shares no columns with those before.</summary>
    public void EndRun() => EndRun(keepLine: false);

    /// <summary>Ends the text, and passes on the rest of it.</summary>
    public void Finish()
    {
        EndRun();
        HandOn();
    }

    /// <param name="keepLine">Whether the current line belongs to the next run.</param>
    private void EndRun(bool keepLine)
    {
        EndRow();
        var end = keepLine ? lineStart : run.WrittenCount;
        if (rows.Count == 0) output.Write(run.WrittenSpan[..end]);
        else SetInColumns(end);
        if (output.WrittenCount >= PieceLength) HandOn();
        var kept = run.WrittenSpan[end..];
        if (kept.IsEmpty)
        {
            run.ResetWrittenCount();
        }
        else
        {
            var begun = kept.ToArray();
            run.ResetWrittenCount();
            run.Write(begun);
        }
        lineStart = 0;
        rows.Clear();
        stops.Clear();
        family = LineFamily.None;
        indent = Nowhere;
    }

    private void HandOn()
    {
        take(output.WrittenSpan);
        output.ResetWrittenCount();
    }

    private void SetInColumns(int end)
    {
        var text = run.WrittenSpan;
        var written = 0;
        var set = new ColumnSet(family);
        for (var first = 0; first < rows.Count;)
        {
            set.Clear();
            var next = first;
            while (next < rows.Count && set.TryAdd(text, StopsOf(next), rows[next], isFirst: next == first)) next++;
            var commentAt = 0;
            for (var r = first; r < next; r++)
            {
                var row = rows[r];
                output.Write(text[written..row.Start]);
                written = row.Start;
                var width = 0;
                foreach (var stop in StopsOf(r))
                {
                    width += DisplayWidth.Of(text[written..stop.Offset]);
                    output.Write(text[written..stop.Offset]);
                    written = stop.Offset;
                    if (stop.Column == CommentColumn && (r == first || !HasComment(r - 1))) commentAt = CommentColumnFrom(text, set, r, next);
                    var target = stop.Column == CommentColumn ? commentAt : set[stop.Column] + row.Indent;
                    Blanks(output, target - width);
                    width = target;
                }
                if (output.WrittenCount >= PieceLength) HandOn();
            }
            first = next;
        }
        output.Write(text[written..end]);
    }

    /// <summary>The common column of the comments of a row and those directly below it.</summary>
    private int CommentColumnFrom(ReadOnlySpan<char> text, ColumnSet set, int row, int end)
    {
        var column = 0;
        for (; row < end && HasComment(row); row++) column = Math.Max(column, set.WidthOf(text, StopsOf(row), rows[row]));
        return column + 2;
    }

    private bool HasComment(int row) => StopsOf(row) is [.., { Column: CommentColumn }];

    private ReadOnlySpan<Stop> StopsOf(int row)
    {
        var from = rows[row].FirstStop;
        var to = row + 1 < rows.Count ? rows[row + 1].FirstStop : stops.Count;
        return CollectionsMarshal.AsSpan(stops)[from..to];
    }

    private static void Blanks(ArrayBufferWriter<char> writer, int count)
    {
        if (count <= 0) return;
        writer.GetSpan(count)[..count].Fill(' ');
        writer.Advance(count);
    }

    private readonly record struct Row(int Start, int FirstStop, int End, int Indent);

    private readonly record struct Stop(int Column, int Offset);

    /// <summary>The columns of a run of rows, counted from their indentation.</summary>
    private sealed class ColumnSet(LineFamily family)
    {
        // The widest cell in column j that is followed by one in column k, and the widest that is last in its row.
        private readonly int[,] widest = new int[ColumnCount, ColumnCount];
        private readonly int[] widestLast = new int[ColumnCount];
        private readonly int[] counts = new int[ColumnCount];
        private readonly int[] targets = new int[ColumnCount];
        private readonly int[] next = new int[ColumnCount];

        public int this[int column] => targets[column];

        public void Clear()
        {
            for (var j = 0; j < ColumnCount; j++)
            {
                for (var k = 0; k < ColumnCount; k++) widest[j, k] = Nowhere;
                widestLast[j] = Nowhere;
            }
            Array.Clear(counts);
            Array.Clear(targets);
        }

        /// <summary>Adds a row, unless that makes a line too long.</summary>
        public bool TryAdd(ReadOnlySpan<char> text, ReadOnlySpan<Stop> stops, Row row, bool isFirst)
        {
            var column = 0;
            var start = row.Start;
            foreach (var stop in stops)
            {
                if (stop.Column == CommentColumn) break;
                ref var cell = ref widest[column, stop.Column];
                cell = Math.Max(cell, CellWidth(text[start..stop.Offset], column, row));
                counts[stop.Column]++;
                (column, start) = (stop.Column, stop.Offset);
            }
            widestLast[column] = Math.Max(widestLast[column], CellWidth(text[start..row.End], column, row));
            if (!Place(row.Indent) && !isFirst) return false;
            next.CopyTo(targets, 0);
            return true;
        }

        /// <summary>The width of a row with its columns aligned, including indentation.</summary>
        public int WidthOf(ReadOnlySpan<char> text, ReadOnlySpan<Stop> stops, Row row)
        {
            var column = 0;
            var start = row.Start;
            foreach (var stop in stops)
                if (stop.Column != CommentColumn) (column, start) = (stop.Column, stop.Offset);
            return targets[column] + row.Indent + CellWidth(text[start..row.End], column, row);
        }

        private static int CellWidth(ReadOnlySpan<char> cell, int column, Row row) => DisplayWidth.Of(cell) - (column == 0 ? row.Indent : 0);

        private bool Place(int indent)
        {
            var fits = true;
            next[0] = 0;
            for (var k = 0; k < CommentColumn; k++)
            {
                if (k > 0)
                {
                    next[k] = family.EarliestOf(k);
                    var apart = counts[k] > 1 && family.StandsApart(k) ? 2 : 1;
                    for (var j = 0; j < k; j++)
                        if (widest[j, k] != Nowhere) next[k] = Math.Max(next[k], next[j] + widest[j, k] + apart);
                }
                if (widestLast[k] != Nowhere && indent + next[k] + widestLast[k] > WidestLine) fits = false;
            }
            return fits;
        }
    }
}
