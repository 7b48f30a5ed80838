using System.Globalization;
using System.Text;
using PatchLang.LanguageServer.Documents;
using PatchLang.Queries;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// Turns the classified texts of a part of a file, given in order, into
/// tokens: finds the line of each, and splits those that span several lines.
/// </summary>
internal sealed class TokenLines(DocumentView view, int statements)
{
    /// <summary>The approximate number of tokens in a feed.</summary>
    private const int PerStatement = 12;

    private const int DeclarationBit = 1;
    private const int DocumentationBit = 2;
    private const int LibraryBit = 4;

    // The serialized end of a token (type and modifiers), indexed by class and modifier bits.
    private static readonly byte[][] Endings =
    [
        .. Enum.GetValues<TextClass>().SelectMany(c => Enumerable.Range(0, 8).Select(bits => Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $",{SemanticTokensFeature.TypeOf(c)},{bits}")))),
    ];

    private readonly SourceText source = view.Source;
    private readonly PositionMap positions = view.Positions;
    private TextSpan lineSpan;
    private int line = -1;

    /// <summary>The requested part of the file; null for all of it.</summary>
    public TextSpan? Within { get; init; }

    /// <summary>The tokens.</summary>
    public TokenWriter Tokens { get; } = new(PerStatement * statements);

    /// <summary>Appends texts.</summary>
    public void Add(ReadOnlySpan<ClassifiedText> texts)
    {
        foreach (ref readonly var text in texts)
        {
            if (Within is { } within && !within.Contains(text.Span)) continue;
            if (line < 0) MoveTo(source.PositionOf(text.Span.Start).Line);
            while (text.Span.Start > lineSpan.End) MoveTo(line + 1);
            if (text.Span.End <= lineSpan.End)
            {
                Add(text, text.Span);
                continue;
            }
            // A multi-line comment becomes one token per line.
            for (var end = source.PositionOf(text.Span.End).Line; ; MoveTo(line + 1))
            {
                Add(text, TextSpan.FromTo(Math.Max(text.Span.Start, lineSpan.Start), Math.Min(text.Span.End, lineSpan.End)));
                if (line == end) break;
            }
        }
    }

    private void MoveTo(int to) => (line, lineSpan) = (to, source.LineSpan(to));

    private void Add(in ClassifiedText text, TextSpan span)
    {
        if (span.Length <= 0) return;
        var bits = (text.IsDeclaration ? DeclarationBit : 0) | (text.Class == TextClass.Documentation ? DocumentationBit : 0) | (text.IsLibrary ? LibraryBit : 0);
        Tokens.Add(line, positions.Measure(source, lineSpan.Start, span.Start), positions.Measure(source, span.Start, span.End), Endings[((int)text.Class << 3) | bits]);
    }
}
