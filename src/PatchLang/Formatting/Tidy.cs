using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>
/// The one look of a plan. Only white space changes: tokens and comments stay, in their order, and so does the meaning.
/// </summary>
/// <remarks>
/// Two blanks of indentation inside braces that take several lines, each thing in them on a line of its own; neighbours of one kind in columns;
/// at most one blank line in a row; long lines broken before <c>-></c> or behind a comma. A comment stays on its line, or on one of its own.
/// What the parser can't read is left as it is, but for the kind of its line ends. Tidying a tidy text changes nothing.
/// </remarks>
public static class Tidy
{
    /// <summary>The text of a file as it should look. Line ends are of the kind that the file has most of.</summary>
    public static string Format(SyntaxTree tree) => new TidyRun(tree).Write();

    /// <summary>The changes that make a file look as it should: each takes white space for white space, and they stand in order.</summary>
    public static ImmutableArray<TextEdit> Edits(SyntaxTree tree)
    {
        var edits = ImmutableArray.CreateBuilder<TextEdit>();
        var before = tree.Source.Content.AsSpan();
        var after = Format(tree).AsSpan();
        var (from, to) = (0, 0);
        while (true)
        {
            var same = before[from..].CommonPrefixLength(after[to..]);
            (from, to) = (from + same, to + same);
            if (from == before.Length && to == after.Length) return edits.DrainToImmutable();

            var (fromEnd, toEnd) = (EndOfWhiteSpace(before, from), EndOfWhiteSpace(after, to));
            // What the two have alike at their ends stays, so that an edit is no longer than it must be.
            while (fromEnd > from && toEnd > to && before[fromEnd - 1] == after[toEnd - 1]) (fromEnd, toEnd) = (fromEnd - 1, toEnd - 1);
            if (fromEnd == from && toEnd == to) throw new InvalidOperationException("Tidying changed more than white space."); // a test holds that it never does
            edits.Add(new TextEdit(tree.Source, TextSpan.FromTo(from, fromEnd), after[to..toEnd].ToString()));
            (from, to) = (fromEnd, toEnd);
        }
    }

    private static int EndOfWhiteSpace(ReadOnlySpan<char> text, int at)
    {
        var length = text[at..].IndexOfAnyExcept(" \t\r\n");
        return length < 0 ? text.Length : at + length;
    }
}
