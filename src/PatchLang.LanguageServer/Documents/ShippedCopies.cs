using System.Collections.Concurrent;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Files;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// Read-only copies, in the user's cache folder, of documents that the compiler provides: for clients that can't request them. Each
/// version of a content has its own folder, so that open documents stay unchanged when another version of the program runs.
/// </summary>
internal static class ShippedCopies
{
    private static readonly string Folder = Path.Combine(UserFolders.Cache, "documents");
    private static readonly ConcurrentDictionary<string, string> Versions = new(StringComparer.Ordinal);
    private static readonly Lock Gate = new();

    /// <summary>The path of a document's copy; null if it can't be written.</summary>
    /// <param name="name">The compiler's name for it, such as <c>library/desks.rig</c>.</param>
    /// <param name="content">Gives its text, if it is needed.</param>
    public static string? PathOf(string name, Func<string> content)
    {
        var isKnown = Versions.TryGetValue(name, out var version);
        if (isKnown && PathIn(version!, name) is var made && File.Exists(made)) return made;
        var text = content();
        var path = PathIn(Versions.GetOrAdd(name, VersionOf(text)), name);
        try
        {
            lock (Gate)
                if (!File.Exists(path) || File.ReadAllText(path) != text) Write(path, text);
            return path;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>The library file that a path is a current copy of; null if it is none.</summary>
    public static string? LibraryFileAt(string path)
    {
        if (LoadedPlan.NameIn(Folder, path) is not { } below || below.IndexOf('/') is not (> 0 and var end)) return null;
        var name = below[(end + 1)..];
        return ShippedLibrary.Find(name) is { } tree && below[..end] == Versions.GetOrAdd(name, _ => VersionOf(tree.Source.Content)) ? name : null;
    }

    private static string PathIn(string version, string name) => Path.Combine([Folder, version, .. name.Split('/')]);

    /// <summary>Writes a temporary file next to the destination and renames it, so that other processes never see an incomplete file.</summary>
    private static void Write(string path, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        var beside = $"{path}.{Environment.ProcessId}";
        try
        {
            File.WriteAllText(beside, text);
            File.SetAttributes(beside, FileAttributes.ReadOnly);
            File.Move(beside, path, overwrite: true);
        }
        finally
        {
            File.Delete(beside); // already moved, unless something failed
        }
    }

    /// <summary>A version derived from the content (FNV-1a hash of the characters), the same on every machine.</summary>
    private static string VersionOf(string content)
    {
        var hash = 14695981039346656037UL;
        foreach (var character in content) hash = (hash ^ character) * 1099511628211UL;
        return hash.ToString("x16", CultureInfo.InvariantCulture);
    }
}
