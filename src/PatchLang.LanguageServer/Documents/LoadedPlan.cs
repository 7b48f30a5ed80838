using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.LanguageServer.Rules;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>A plan that the client works on. Immutable.</summary>
/// <param name="RootPath">The path of the root file.</param>
/// <param name="Compilation">The compilation, with the client's texts of open files.</param>
internal sealed record LoadedPlan(string RootPath, Compilation Compilation)
{
    /// <summary>The findings of the house rules, for this compilation or an earlier one; null if no rules were run.</summary>
    public RuleAnswer? Rules { get; init; }

    /// <summary>The findings of the compiler and, once they have run on this compilation, of the house rules.</summary>
    public ImmutableArray<Finding> Findings =>
        Rules is { } answer && answer.Of == Compilation && !answer.Findings.IsEmpty ? Compilation.FindingsWith(answer.Findings) : Compilation.Findings;

    /// <summary>The folder whose files the plan may use; null for a root that is not a file.</summary>
    public string? Folder { get; } = Path.IsPathRooted(RootPath) ? Path.GetDirectoryName(RootPath) : null;

    /// <summary>A file's path within the plan; null if it lies outside the plan's folder.</summary>
    public string? NameOf(string fullPath) =>
        fullPath == RootPath ? Compilation.Trees[0].Source.Path
        : Folder is { } folder ? NameIn(folder, fullPath)
        : null;

    /// <summary>The plan's tree of a file; null if the plan does not use it.</summary>
    public SyntaxTree? TreeOf(string fullPath) => NameOf(fullPath) is { } name ? TreeNamed(name) : null;

    /// <summary>The plan's tree of a file, by its path within the plan.</summary>
    public SyntaxTree? TreeNamed(string name)
    {
        foreach (var tree in Compilation.Trees)
            if (tree.Source.Path == name) return tree;
        return null;
    }

    /// <summary>The full path of one of the plan's files.</summary>
    public string FullPathOf(SourceText source) =>
        source.Path == Compilation.Trees[0].Source.Path || Folder is null ? RootPath : Path.GetFullPath(source.Path, Folder);

    /// <summary>Whether the root declares itself as one with a <c>rig</c> statement.</summary>
    public bool SaysSo => UsedFiles.IsRoot(Compilation.Trees[0]);

    /// <summary>The path of a file relative to a plan's folder; null if it lies outside.</summary>
    public static string? NameIn(string folder, string fullPath) =>
        fullPath.Length > folder.Length + 1 && fullPath.StartsWith(folder, StringComparison.Ordinal) && fullPath[folder.Length] == Path.DirectorySeparatorChar
            ? fullPath[(folder.Length + 1)..].Replace('\\', '/')
            : folder == Path.GetPathRoot(folder) && fullPath.StartsWith(folder, StringComparison.Ordinal) ? fullPath[folder.Length..].Replace('\\', '/')
            : null;
}
