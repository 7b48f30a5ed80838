using System.Runtime.InteropServices;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// A gap buffer with an index of lines, for applying many changes to a text: the gap is at the last change, so that
/// a change costs the distance to the previous one and not the length of the text.
/// </summary>
internal sealed class EditedText
{
    private readonly List<int> lineStarts = [0];
    private char[] buffer;
    private int gapStart;
    private int gapEnd;

    public EditedText(string content)
    {
        buffer = content.ToCharArray();
        gapStart = gapEnd = buffer.Length;
        AddLineStarts(0, content.Length, 1);
    }

    private int Length => buffer.Length - (gapEnd - gapStart);

    private char this[int offset] => buffer[offset < gapStart ? offset : offset + gapEnd - gapStart];

    /// <summary>Replaces a range by a text; the range is clamped to the text.</summary>
    public void Replace(Protocol.Range range, string text, PositionMap positions)
    {
        var start = OffsetOf(range.Start, positions);
        var end = Math.Max(start, OffsetOf(range.End, positions));
        MoveGap(start);
        gapEnd += end - start;
        if (gapEnd - gapStart < text.Length) Grow(text.Length);
        text.CopyTo(buffer.AsSpan(gapStart));
        gapStart += text.Length;
        Renumber(start, end, text.Length);
    }

    /// <inheritdoc/>
    public override string ToString() => string.Concat(buffer.AsSpan(0, gapStart), buffer.AsSpan(gapEnd));

    private int OffsetOf(Position position, PositionMap positions)
    {
        if (position.Line >= lineStarts.Count) return Length;
        var start = lineStarts[(int)position.Line];
        var end = position.Line + 1 < lineStarts.Count ? lineStarts[(int)position.Line + 1] : Length;
        while (end > start && this[end - 1] is '\r' or '\n') end--;
        var line = new char[end - start];
        for (var i = 0; i < line.Length; i++) line[i] = this[start + i];
        // Convert the line on its own, so that only PositionMap has to know the position encoding.
        return start + positions.OffsetOf(new SourceText("", new string(line)), position with { Line = 0 });
    }

    private void MoveGap(int offset)
    {
        if (offset < gapStart) buffer.AsSpan(offset, gapStart - offset).CopyTo(buffer.AsSpan(gapEnd - (gapStart - offset)));
        else buffer.AsSpan(gapEnd, offset - gapStart).CopyTo(buffer.AsSpan(gapStart));
        gapEnd += offset - gapStart;
        gapStart = offset;
    }

    private void Grow(int needed)
    {
        var larger = new char[Length + needed + Math.Max(1024, buffer.Length / 4)];
        buffer.AsSpan(0, gapStart).CopyTo(larger);
        var tail = buffer.Length - gapEnd;
        buffer.AsSpan(gapEnd).CopyTo(larger.AsSpan(larger.Length - tail));
        (buffer, gapEnd) = (larger, larger.Length - tail);
    }

    /// <summary>
    /// Finds the line starts again from the character before a change to the one after it: a CR and a LF that meet form a single line break.
    /// </summary>
    private void Renumber(int start, int oldEnd, int newLength)
    {
        var from = Math.Max(0, start - 1);
        var first = UpperBound(from);
        var last = UpperBound(oldEnd + 1);
        lineStarts.RemoveRange(first, last - first);
        var delta = newLength - (oldEnd - start);
        foreach (ref var lineStart in CollectionsMarshal.AsSpan(lineStarts)[first..]) lineStart += delta;
        AddLineStarts(from, Math.Min(Length, start + newLength + 1), first);
    }

    /// <summary>Adds the line starts after one offset and up to another.</summary>
    private void AddLineStarts(int from, int to, int at)
    {
        var found = new List<int>();
        for (var i = from; i < to; i++)
            if (this[i] == '\n' || (this[i] == '\r' && (i + 1 >= Length || this[i + 1] != '\n'))) found.Add(i + 1);
        // If the LF of a CR LF lies beyond the range, the line start after it is already in the list.
        lineStarts.InsertRange(at, found);
    }

    /// <summary>The number of lines that start at or before an offset.</summary>
    private int UpperBound(int offset)
    {
        var index = lineStarts.BinarySearch(offset);
        return index < 0 ? ~index : index + 1;
    }
}
