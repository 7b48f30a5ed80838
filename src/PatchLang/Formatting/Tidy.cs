using System.Collections.Immutable;
using System.Text;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>
/// The formatter. Only white space changes: tokens and comments keep their order, and the plan its meaning.
/// </summary>
/// <remarks>
/// Two spaces of indentation in multi-line braces, with one item per line; consecutive lines of one kind aligned in columns;
/// at most one blank line in a row; long lines broken before <c>-></c> or after a comma. A comment stays on its line, or on one of its own.
/// Statements with syntax errors are left as they are, except for line endings. Formatting is idempotent.
/// </remarks>
public static class Tidy
{
    /// <summary>The formatted text of a file. Line endings are of the kind that is most frequent in the file.</summary>
    public static string Format(SyntaxTree tree)
    {
        var text = new StringBuilder(tree.Source.Length + tree.Source.Length / 8);
        new TidyRun(tree, written => text.Append(written)).Write();
        return text.ToString();
    }

    /// <summary>The edits that format a file: each replaces white space with white space, and they are in order.</summary>
    public static ImmutableArray<TextEdit> Edits(SyntaxTree tree)
    {
        var changes = new WhiteSpaceChanges(tree.Source);
        new TidyRun(tree, changes.Add).Write();
        return changes.Finish();
    }
}
