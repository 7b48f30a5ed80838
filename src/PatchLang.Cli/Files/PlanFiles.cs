using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Cli.Files;

/// <summary>Resolves the paths on a command line to plan files.</summary>
internal static class PlanFiles
{
    private static readonly EnumerationOptions Below = new()
    {
        RecurseSubdirectories = true,
        // A link may lead out of the folder or in a circle; hidden folders belong to tools.
        AttributesToSkip = FileAttributes.ReparsePoint | FileAttributes.Hidden | FileAttributes.System,
        IgnoreInaccessible = true,
    };

    /// <summary>
    /// The files at these paths; a folder stands for all plans below it. Reports a path at which there is nothing, and returns null.
    /// </summary>
    public static List<PlanFile>? All(IReadOnlyList<string> paths, Terminal terminal) => Expand(paths, terminal, InFolder);

    /// <summary>
    /// The root plans at these paths. In a folder, those are the files with a
    /// <c>rig</c> statement or, if there are none, those that no other file uses.
    /// </summary>
    public static List<PlanFile>? Roots(IReadOnlyList<string> paths, Terminal terminal) =>
        Expand(paths, terminal, (path, fullPath) => RootsAmong(InFolder(path, fullPath)));

    /// <summary>The one plan at a path, compiled. If there is none, or more than one, reports that and returns null.</summary>
    public static (PlanFile File, Compilation Compilation)? Compile(string path, Terminal terminal)
    {
        if (Roots([path], terminal) is not { } roots) return null;
        if (roots is not [var file])
        {
            terminal.Complain($"{path} has {roots.Count} plans; name one of them: {string.Join(", ", roots.Select(r => r.Path))}");
            return null;
        }
        var reading = file.Read(terminal);
        if (reading.Source is { } source) return (file, Compilation.Create(source, new Disk(file.Folder).Read));
        terminal.Complain($"{file.Name}: {PlanText.Say(reading)}");
        return null;
    }

    private static List<PlanFile>? Expand(IReadOnlyList<string> paths, Terminal terminal, Func<string, string, List<PlanFile>> ofFolder)
    {
        var files = new List<PlanFile>();
        var isComplete = true;
        foreach (var typed in paths)
        {
            var path = typed.StartsWith("./", StringComparison.Ordinal) && typed.Length > 2 ? typed[2..] : typed;
            var fullPath = Path.GetFullPath(path, terminal.Folder);
            if (!Directory.Exists(fullPath))
            {
                if (Path.EndsInDirectorySeparator(path))
                {
                    terminal.Complain($"{path}: there is no such folder");
                    isComplete = false;
                    continue;
                }
                files.Add(new PlanFile(path, fullPath));
                continue;
            }
            var found = ofFolder(path, fullPath);
            if (found.Count == 0)
            {
                terminal.Complain($"{path}: {(IsOpen(fullPath) ? "there is no .rig file in this folder" : "reading this folder is not permitted")}");
                isComplete = false;
            }
            files.AddRange(found);
        }
        return isComplete ? [.. files.DistinctBy(f => f.FullPath)] : null;
    }

    private static bool IsOpen(string folder)
    {
        try
        {
            _ = Directory.EnumerateFileSystemEntries(folder).Any();
            return true;
        }
        catch (UnauthorizedAccessException)
        {
            return false;
        }
    }

    private static List<PlanFile> InFolder(string path, string fullPath) =>
    [
        .. Directory.EnumerateFiles(fullPath, "*.rig", Below)
            .Order(StringComparer.Ordinal)
            .Select(f => new PlanFile(Joined(path, Path.GetRelativePath(fullPath, f)), f)),
    ];

    private static string Joined(string folder, string path) =>
        (folder == "." ? path : Path.Combine(folder, path)).Replace('\\', '/');

    private static List<PlanFile> RootsAmong(List<PlanFile> files)
    {
        var roots = new List<PlanFile>();
        var unreadable = new List<PlanFile>();
        var used = new HashSet<string>(StringComparer.Ordinal);
        foreach (var file in files)
        {
            if (PlanText.Read(file.Path, file.FullPath).Source is not { } source)
            {
                unreadable.Add(file);
                continue;
            }
            var tree = SyntaxTree.Parse(source);
            if (UsedFiles.IsRoot(tree)) roots.Add(file);
            foreach (var use in UsedFiles.Of(tree, file.Path)) used.Add(Path.GetFullPath(use.Written, file.Folder));
        }
        // An unreadable file may be a root, and the command will report what is wrong with it.
        if (roots.Count > 0) return [.. roots, .. unreadable];
        var unused = files.FindAll(f => !used.Contains(f.FullPath));
        return unused.Count > 0 ? unused : files; // files that use each other in a circle all count as roots
    }
}
