using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>The purposes of rewrites.</summary>
public enum RewriteSort
{
    /// <summary>Writes the same in another form; the signal graph does not change.</summary>
    Rewriting,

    /// <summary>Creates a declaration from existing text; the signal graph does not change.</summary>
    Extraction,

    /// <summary>Adds a missing declaration of something that is named.</summary>
    Addition,
}

/// <summary>A change of a plan's text that the user can request at a place.</summary>
/// <param name="Title">What it does, in the imperative: "write out the ways".</param>
/// <param name="Sort">Its purpose.</param>
/// <param name="Edits">The edits, without overlaps; formatted where the surrounding text was tidy.</param>
/// <param name="Mends">The finding it fixes; null if none.</param>
public sealed record Rewrite(string Title, RewriteSort Sort, ImmutableArray<TextEdit> Edits, Finding? Mends = null)
{
    /// <summary>All applicable rewrites in a part of a file, the most likely first.</summary>
    /// <param name="queries">The plan.</param>
    /// <param name="findings">The findings of the plan.</param>
    /// <param name="tree">The file.</param>
    /// <param name="within">The selection, or an empty span at the cursor.</param>
    /// <param name="others">Files that the plan could use, apart from the shipped library; enumerated only if a declaration is missing.</param>
    public static IEnumerable<Rewrite> In(PlanQueries queries, IEnumerable<Finding> findings, SyntaxTree tree, TextSpan within, IEnumerable<UsableFile> others) => tree.Source.IsLibrary ? [] :
    [
        .. MissingDeclarations.In(queries, findings, tree, within, others),
        .. WayRewrites.In(queries, tree, within),
        .. RangeRewrites.In(tree, within),
        .. GearRewrites.In(queries, findings, tree, within),
        .. AlikeGear.In(queries, findings, tree, within),
    ];
}
