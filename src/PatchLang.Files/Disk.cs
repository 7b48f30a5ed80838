namespace PatchLang.Files;

/// <summary>
/// Reads a plan's files from disk, and never from outside one folder: neither by <c>..</c> nor through a link. Letter case
/// must match exactly, on every file system.
/// </summary>
/// <param name="folder">The root plan's folder.</param>
public sealed class Disk(string folder)
{
    private const int MostLinks = 40;

    private readonly string folder = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
    private readonly Dictionary<string, string[]> namesIn = new(StringComparer.Ordinal);
    private string? realFolder;

    /// <summary>Reads a file; can be used as a <see cref="FileReader"/>.</summary>
    public FileReading Read(string path)
    {
        if (Path.IsPathRooted(path) || path.Split('/') is var names && names.Contains("..")) return FileReading.Failed(FileProblem.Outside);
        var full = folder;
        for (var i = 0; i < names.Length; i++)
        {
            if (!NamesIn(full).Contains(names[i], StringComparer.Ordinal))
            {
                var other = NamesIn(full).FirstOrDefault(n => string.Equals(n, names[i], StringComparison.OrdinalIgnoreCase));
                return other is null
                    ? FileReading.Failed(FileProblem.NotFound)
                    : FileReading.Failed(FileProblem.WrongCase, string.Join('/', [.. names[..i], other, .. names[(i + 1)..]]));
            }
            full = Path.Combine(full, names[i]);
        }
        return IsInside(RealPath(full)) ? PlanText.Read(path, full) : FileReading.Failed(FileProblem.ThroughLink);
    }

    /// <summary>The path with all links resolved; a circle of links is left as it is.</summary>
    public static string RealPath(string path)
    {
        path = Path.GetFullPath(path);
        for (var followed = 0; followed < MostLinks && FirstLinkOn(path) is var (link, target, below); followed++)
            path = Path.GetFullPath(Path.Combine(Path.GetDirectoryName(link)!, target, below));
        return path;
    }

    private static (string Link, string Target, string Below)? FirstLinkOn(string path)
    {
        var root = Path.GetPathRoot(path)!;
        for (var end = root.Length; end < path.Length; end++)
        {
            end = path.IndexOf(Path.DirectorySeparatorChar, end) is var separator and >= 0 ? separator : path.Length;
            if (new FileInfo(path[..end]).LinkTarget is { } target) return (path[..end], target, path[end..].TrimStart(Path.DirectorySeparatorChar));
        }
        return null;
    }

    private bool IsInside(string path)
    {
        realFolder ??= RealPath(folder);
        return path.StartsWith(Path.EndsInDirectorySeparator(realFolder) ? realFolder : realFolder + Path.DirectorySeparatorChar, StringComparison.Ordinal);
    }

    private string[] NamesIn(string directory)
    {
        if (namesIn.TryGetValue(directory, out var names)) return names;
        try
        {
            names = [.. Directory.EnumerateFileSystemEntries(directory).Select(e => Path.GetFileName(e))];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            names = [];
        }
        return namesIn[directory] = names;
    }
}
