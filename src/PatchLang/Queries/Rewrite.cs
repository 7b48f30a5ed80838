using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>What a rewrite is for.</summary>
public enum RewriteSort
{
    /// <summary>The same, written in another way: nothing of the graph changes.</summary>
    Rewriting,

    /// <summary>A declaration made of what stands somewhere else; nothing of the graph changes.</summary>
    Extraction,

    /// <summary>A declaration that something names and nobody wrote.</summary>
    Addition,
}

/// <summary>A change of a plan's text that someone may ask for at a place.</summary>
/// <param name="Title">What it does, as an order: "write out the ways".</param>
/// <param name="Sort">What it is for.</param>
/// <param name="Edits">The changes, none overlapping another; tidy where the text was.</param>
/// <param name="Mends">The finding it mends; null where it mends none.</param>
public sealed record Rewrite(string Title, RewriteSort Sort, ImmutableArray<TextEdit> Edits, Finding? Mends = null)
{
    /// <summary>Every rewrite that makes sense in a part of a file, the likeliest first.</summary>
    /// <param name="queries">The plan.</param>
    /// <param name="findings">What was found in it.</param>
    /// <param name="tree">The file.</param>
    /// <param name="within">What is selected, or an empty span at the cursor.</param>
    /// <param name="others">Files that the plan could take in, the shipped library aside; looked at only where something is missing.</param>
    public static IEnumerable<Rewrite> In(PlanQueries queries, IEnumerable<Finding> findings, SyntaxTree tree, TextSpan within, IEnumerable<UsableFile> others) => tree.Source.IsLibrary ? [] :
    [
        .. MissingDeclarations.In(queries, findings, tree, within, others),
        .. WayRewrites.In(queries, tree, within),
        .. RangeRewrites.In(tree, within),
        .. GearRewrites.In(queries, findings, tree, within),
        .. AlikeGear.In(queries, findings, tree, within),
    ];
}
