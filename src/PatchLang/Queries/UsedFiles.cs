using PatchLang.Declarations;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>A file that a <c>use</c> statement names.</summary>
/// <param name="Path">The path from the root plan's folder, or below <c>library/</c>; null if it leads out of both.</param>
/// <param name="Written">The path as written.</param>
/// <param name="Span">The span of the path in the file, without its quotes.</param>
public readonly record struct UsedFile(string? Path, string Written, TextSpan Span)
{
    /// <summary>Whether it belongs to the library that ships with the compiler.</summary>
    public bool IsLibrary => Path?.StartsWith("library/", StringComparison.Ordinal) == true;
}

/// <summary>The files that a file uses, and whether it is the root of a plan: from its text alone.</summary>
public static class UsedFiles
{
    /// <summary>Whether a file declares itself the root of a plan: it has a <c>rig</c> statement.</summary>
    public static bool IsRoot(SyntaxTree tree)
    {
        for (var i = 0; i < tree.Count; i++)
            if (tree[i].Kind == NodeKind.Rig) return true;
        return false;
    }

    /// <summary>The files that a file's <c>use</c> statements name, in order.</summary>
    /// <param name="tree">The file.</param>
    /// <param name="path">Its path within the plan.</param>
    public static IReadOnlyList<UsedFile> Of(SyntaxTree tree, string path)
    {
        var used = new List<UsedFile>();
        foreach (var use in WrittenUse.AllIn(tree))
            if (use.Written is { } written) used.Add(new UsedFile(PlanPath.Resolve(path, written), written, use.Span.Moved(tree.StartOf(tree.IndexOf(use.Statement)))));
        return used;
    }
}
