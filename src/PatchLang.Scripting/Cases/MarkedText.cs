using System.Collections.Immutable;
using System.Text;
using PatchLang.Text;

namespace PatchLang.Scripting.Cases;

/// <summary>A file of a plan, with its marks of expected findings.</summary>
internal sealed class MarkedText
{
    private readonly ImmutableArray<string> lines;
    private readonly ImmutableHashSet<int> markLines;

    private MarkedText(SourceText source)
    {
        Source = source;
        lines = [.. Enumerable.Range(0, source.LineCount).Select(l => source.Slice(source.LineSpan(l)).ToString())];
        var marks = ImmutableArray.CreateBuilder<Mark>();
        var found = ImmutableHashSet.CreateBuilder<int>();
        var text = 0;
        for (var line = 0; line < lines.Length; line++)
        {
            if (Mark.Read(lines[line], text) is { } mark)
            {
                marks.Add(mark);
                found.Add(line);
            }
            else text = line;
        }
        (Marks, markLines) = (marks.DrainToImmutable(), found.ToImmutable());
    }

    /// <summary>The file including its marks, which are comments and are compiled with it.</summary>
    public SourceText Source { get; }

    /// <summary>The findings expected in the file.</summary>
    public ImmutableArray<Mark> Marks { get; }

    public static MarkedText Of(SourceText source) => new(source);

    /// <summary>The text of a line, without its line break.</summary>
    public string Line(int line) => lines[line];

    /// <summary>The text with its marks replaced by these.</summary>
    public string With(IEnumerable<Mark> marks)
    {
        var byLine = marks.ToLookup(m => m.Line);
        var text = new StringBuilder();
        for (var line = 0; line < lines.Length; line++)
        {
            if (markLines.Contains(line))
            {
                if (byLine.Contains(line)) throw new InvalidOperationException($"{Source.Path}:{line + 1}: something was found in a mark.");
                continue;
            }
            var end = line + 1 < lines.Length ? Source.OffsetOf(line + 1, 0) : Source.Length;
            text.Append(Source.Content, Source.OffsetOf(line, 0), end - Source.OffsetOf(line, 0));
            var lineBreak = Source.Content[Source.LineSpan(line).End..end];
            foreach (var mark in byLine[line].OrderBy(m => m.Column).ThenBy(m => m.Code, StringComparer.Ordinal))
            {
                if (lineBreak.Length == 0) text.Append('\n');
                text.Append(mark).Append(lineBreak);
            }
        }
        return text.ToString();
    }
}
