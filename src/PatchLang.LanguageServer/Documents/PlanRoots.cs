using PatchLang.Files;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// Finds the plans that a file belongs to. A plan can only use files in or below its root's folder, so roots are searched for
/// in the file's folder and its parents, up to the folder that the client opened.
/// </summary>
/// <param name="folders">The folders that the client opened.</param>
/// <param name="openText">Gives the client's text of a file, if the client has it open.</param>
/// <param name="openPaths">The paths of open documents, which may never have been saved.</param>
internal sealed class PlanRoots(IReadOnlyCollection<string> folders, Func<string, SourceText?> openText, IReadOnlyCollection<string> openPaths)
{
    /// <summary>The most files examined per folder; a folder with more is not a folder of plans.</summary>
    private const int MostFiles = 2_000;

    private readonly Dictionary<string, SyntaxTree?> trees = new(StringComparer.Ordinal);

    /// <summary>The roots of a file without a <c>rig</c> statement: the plans that use it, or the file itself if none does.</summary>
    public IReadOnlyList<string> Of(string fullPath)
    {
        var stated = new List<string>();
        var unstated = new List<string>();
        foreach (var candidate in Candidates(fullPath))
            if (candidate != fullPath && TreeOf(candidate) is { } tree && Reached(candidate).Contains(fullPath))
                (UsedFiles.IsRoot(tree) ? stated : unstated).Add(candidate);
        if (stated.Count > 0) return stated;
        // If no file has a `rig` statement, the roots are the files that no other uses; in a circle of uses, the first one.
        unstated.Add(fullPath);
        return unstated.FindAll(root => !unstated.Exists(other => other != root && Reached(other).Contains(root) && (string.CompareOrdinal(other, root) < 0 || !Reached(root).Contains(other))));
    }

    private IEnumerable<string> Candidates(string fullPath)
    {
        if (!Path.IsPathRooted(fullPath)) yield break;
        var top = folders.Where(f => LoadedPlan.NameIn(f, fullPath) is not null).MinBy(f => f.Length);
        for (var folder = Path.GetDirectoryName(fullPath); folder is not null; folder = folder == top || top is null ? null : Path.GetDirectoryName(folder))
            foreach (var file in FilesIn(folder)) yield return file;
    }

    private IEnumerable<string> FilesIn(string folder)
    {
        var files = openPaths.Where(path => Path.GetDirectoryName(path) == folder);
        try
        {
            files = files.Union(Directory.EnumerateFiles(folder, "*.rig").Take(MostFiles).ToList(), StringComparer.Ordinal);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
        }
        return files.Order(StringComparer.Ordinal);
    }

    private HashSet<string> Reached(string root)
    {
        var folder = Path.GetDirectoryName(root)!;
        var reached = new HashSet<string>(StringComparer.Ordinal) { root };
        var open = new Queue<string>([root]);
        while (open.TryDequeue(out var file))
            if (TreeOf(file) is { } tree && LoadedPlan.NameIn(folder, file) is { } name)
                foreach (var use in UsedFiles.Of(tree, name))
                    if (use.Path is { } path && !use.IsLibrary && Path.GetFullPath(path, folder) is var used && reached.Add(used)) open.Enqueue(used);
        return reached;
    }

    private SyntaxTree? TreeOf(string fullPath)
    {
        if (trees.TryGetValue(fullPath, out var known)) return known;
        var text = openText(fullPath) ?? PlanText.Read(Path.GetFileName(fullPath), fullPath).Source;
        return trees[fullPath] = text is null ? null : SyntaxTree.Parse(text);
    }
}
