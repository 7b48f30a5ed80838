using System.Collections.Immutable;
using System.Text;
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
    public static string Format(SyntaxTree tree)
    {
        var text = new StringBuilder(tree.Source.Length + tree.Source.Length / 8);
        new TidyRun(tree, written => text.Append(written)).Write();
        return text.ToString();
    }

    /// <summary>The changes that make a file look as it should: each takes white space for white space, and they stand in order.</summary>
    public static ImmutableArray<TextEdit> Edits(SyntaxTree tree)
    {
        var changes = new WhiteSpaceChanges(tree.Source);
        new TidyRun(tree, changes.Add).Write();
        return changes.Finish();
    }
}
