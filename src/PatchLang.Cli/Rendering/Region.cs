using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>The lines and columns of a place as shown to people and other programs: from 1, columns in UTF-16 code units, ends exclusive.</summary>
internal readonly record struct Region(int Line, int Column, int EndLine, int EndColumn)
{
    /// <summary>The region of a place.</summary>
    public static Region Of(Place place) => Of(place.Source, place.Span);

    /// <summary>The region of a span. A byte order mark does not count as a column.</summary>
    public static Region Of(SourceText source, TextSpan span)
    {
        var (line, column) = Position(span.Start);
        var (endLine, endColumn) = Position(span.End);
        return new Region(line, column, endLine, endColumn);

        (int, int) Position(int offset)
        {
            var (l, c) = source.PositionOf(offset);
            return (l + 1, l == 0 && source.Content.StartsWith('\uFEFF') ? Math.Max(c, 1) : c + 1);
        }
    }
}
