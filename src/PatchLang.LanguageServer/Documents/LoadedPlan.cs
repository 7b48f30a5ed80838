using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.LanguageServer.Rules;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>A plan that is worked on: its root, and what the compiler makes of it. Immutable.</summary>
/// <param name="RootPath">Where the root is.</param>
/// <param name="Compilation">The plan with the texts that the client has.</param>
internal sealed record LoadedPlan(string RootPath, Compilation Compilation)
{
    /// <summary>What the house rules found, of this compilation or of an earlier one; null where none were run.</summary>
    public RuleAnswer? Rules { get; init; }

    /// <summary>What is found in the plan, by the compiler and, as soon as they have looked at it as it stands, by the house rules.</summary>
    public ImmutableArray<Finding> Findings =>
        Rules is { } answer && answer.Of == Compilation && !answer.Findings.IsEmpty ? Compilation.FindingsWith(answer.Findings) : Compilation.Findings;

    /// <summary>The folder whose files the plan may use; none for a root that is no file.</summary>
    public string? Folder { get; } = Path.IsPathRooted(RootPath) ? Path.GetDirectoryName(RootPath) : null;

    /// <summary>What the plan calls a file; null if it lies outside of its folder.</summary>
    public string? NameOf(string fullPath) =>
        fullPath == RootPath ? Compilation.Trees[0].Source.Path
        : Folder is { } folder ? NameIn(folder, fullPath)
        : null;

    /// <summary>The plan's tree of a file, if it uses that.</summary>
    public SyntaxTree? TreeOf(string fullPath) => NameOf(fullPath) is { } name ? TreeNamed(name) : null;

    /// <summary>The plan's tree of a file, by the plan's own name for it.</summary>
    public SyntaxTree? TreeNamed(string name)
    {
        foreach (var tree in Compilation.Trees)
            if (tree.Source.Path == name) return tree;
        return null;
    }

    /// <summary>Where one of the plan's own files is.</summary>
    public string FullPathOf(SourceText source) =>
        source.Path == Compilation.Trees[0].Source.Path || Folder is null ? RootPath : Path.GetFullPath(source.Path, Folder);

    /// <summary>Whether the root says that it is one, with a <c>rig</c> statement.</summary>
    public bool SaysSo => IsRoot(Compilation.Trees[0]);

    /// <summary>The path of a file as a plan in a folder writes it; null if it lies outside.</summary>
    public static string? NameIn(string folder, string fullPath) =>
        fullPath.Length > folder.Length + 1 && fullPath.StartsWith(folder, StringComparison.Ordinal) && fullPath[folder.Length] == Path.DirectorySeparatorChar
            ? fullPath[(folder.Length + 1)..].Replace('\\', '/')
            : folder == Path.GetPathRoot(folder) && fullPath.StartsWith(folder, StringComparison.Ordinal) ? fullPath[folder.Length..].Replace('\\', '/')
            : null;

    /// <summary>Whether a file has a <c>rig</c> statement.</summary>
    public static bool IsRoot(SyntaxTree tree)
    {
        for (var i = 0; i < tree.Count; i++)
            if (tree[i].Kind == NodeKind.Rig) return true;
        return false;
    }
}
