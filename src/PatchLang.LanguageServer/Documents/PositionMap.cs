using System.Text;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>The unit of characters in positions, as negotiated with the client.</summary>
internal enum PositionEncoding
{
    /// <summary>UTF-16 units, which the compiler uses too.</summary>
    Utf16,

    /// <summary>Bytes of UTF-8.</summary>
    Utf8,

    /// <summary>Code points.</summary>
    Utf32,
}

/// <summary>Converts between offsets in a text and positions of the protocol. Nothing else deals with position encodings.</summary>
internal sealed class PositionMap(PositionEncoding encoding)
{
    /// <summary>The position of an offset.</summary>
    public Position PositionOf(SourceText text, int offset)
    {
        var (line, column) = text.PositionOf(offset);
        if (encoding == PositionEncoding.Utf16) return new Position((uint)line, (uint)column);
        var before = text.Content.AsSpan(offset - column, column);
        return new Position((uint)line, (uint)Measure(before));
    }

    /// <summary>The range of a span.</summary>
    public Protocol.Range RangeOf(SourceText text, TextSpan span) => new(PositionOf(text, span.Start), PositionOf(text, span.End));

    /// <summary>The offset of a position, clamped to the end of its line or of the text.</summary>
    public int OffsetOf(SourceText text, Position position)
    {
        var line = (int)Math.Min(position.Line, int.MaxValue);
        var character = (int)Math.Min(position.Character, int.MaxValue);
        if (encoding == PositionEncoding.Utf16 || line >= text.LineCount) return text.OffsetOf(line, character);
        var span = text.LineSpan(line);
        return span.Start + UnitsIn(text.Slice(span), character);
    }

    /// <summary>The span of a range; empty if the range ends before it starts.</summary>
    public TextSpan SpanOf(SourceText text, Protocol.Range range)
    {
        var start = OffsetOf(text, range.Start);
        return TextSpan.FromTo(start, Math.Max(start, OffsetOf(text, range.End)));
    }

    /// <summary>The length of a part of a line, in the negotiated unit.</summary>
    public int Measure(SourceText text, int from, int to) =>
        encoding == PositionEncoding.Utf16 ? to - from : Measure(text.Slice(TextSpan.FromTo(from, to)));

    /// <summary>The length of a part of a line, in the negotiated unit.</summary>
    public int Measure(ReadOnlySpan<char> text)
    {
        if (encoding == PositionEncoding.Utf16) return text.Length;
        if (encoding == PositionEncoding.Utf8) return Encoding.UTF8.GetByteCount(text);
        var count = 0;
        foreach (var _ in text.EnumerateRunes()) count++;
        return count;
    }

    /// <summary>The number of UTF-16 units in a number of characters of a line.</summary>
    private int UnitsIn(ReadOnlySpan<char> line, int characters)
    {
        var units = 0;
        foreach (var rune in line.EnumerateRunes())
        {
            characters -= encoding == PositionEncoding.Utf8 ? rune.Utf8SequenceLength : 1;
            if (characters < 0) break;
            units += rune.Utf16SequenceLength;
        }
        return units;
    }
}
