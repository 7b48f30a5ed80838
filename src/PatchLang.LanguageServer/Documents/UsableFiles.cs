using PatchLang.Files;
using PatchLang.Queries;
using PatchLang.Syntax;

namespace PatchLang.LanguageServer.Documents;

/// <summary>The files in a plan's folder that it could use but does not: open documents, and files on disk.</summary>
internal static class UsableFiles
{
    /// <summary>Limits of the search: a folder with more is not a folder of plans.</summary>
    private const int MostFiles = 500, MostFolders = 2;

    private static readonly EnumerationOptions Below = new()
    {
        RecurseSubdirectories = true,
        MaxRecursionDepth = MostFolders,
        IgnoreInaccessible = true,
        AttributesToSkip = FileAttributes.Hidden | FileAttributes.System | FileAttributes.ReparsePoint, // a plan may not use links that lead out of its folder
    };

    /// <summary>The files that a document could use, by path. Enumerated lazily, since this reads the disk.</summary>
    public static IEnumerable<UsableFile> By(DocumentView view)
    {
        if (view.Plan.Folder is not { } folder || view.Source.IsLibrary) yield break;
        var from = Path.GetDirectoryName(view.Plan.FullPathOf(view.Source))!;
        var open = view.Snapshot.Documents;
        foreach (var path in open.Keys.Where(p => LoadedPlan.NameIn(folder, p) is not null).Union(OnDisk(folder), StringComparer.Ordinal).Order(StringComparer.Ordinal))
            if (view.Plan.TreeOf(path) is null && TreeOf(path, open.GetValueOrDefault(path)) is { } tree && !UsedFiles.IsRoot(tree))
                yield return new UsableFile(Path.GetRelativePath(from, path).Replace('\\', '/'), tree);
    }

    private static List<string> OnDisk(string folder)
    {
        try
        {
            return [.. Directory.EnumerateFiles(folder, "*.rig", Below).Take(MostFiles)];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    private static SyntaxTree? TreeOf(string path, OpenDocument? open) =>
        (open is null ? PlanText.Read(Path.GetFileName(path), path).Source : open.IsTooLarge ? null : open.Text) is { } text ? SyntaxTree.Parse(text) : null;
}
