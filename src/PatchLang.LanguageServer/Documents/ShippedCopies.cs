using System.Collections.Concurrent;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Files;

namespace PatchLang.LanguageServer.Documents;

/// <summary>
/// Documents that only the compiler has, as read-only files in the user's cache folder: for clients that can't ask for them. Each
/// content has a folder of its own, so what is open stays as it is when another version of the program runs.
/// </summary>
internal static class ShippedCopies
{
    private static readonly string Folder = Path.Combine(UserFolders.Cache, "documents");
    private static readonly ConcurrentDictionary<string, string> Versions = new(StringComparer.Ordinal);
    private static readonly Lock Gate = new();

    /// <summary>Where a document is to be read; null if it can't be written.</summary>
    /// <param name="name">What the compiler calls it, such as <c>library/desks.rig</c>.</param>
    /// <param name="content">Its text, asked for where it is needed.</param>
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

    /// <summary>The file of the library that a path is a copy of, as it is shipped now; null if it is none.</summary>
    public static string? LibraryFileAt(string path)
    {
        if (LoadedPlan.NameIn(Folder, path) is not { } below || below.IndexOf('/') is not (> 0 and var end)) return null;
        var name = below[(end + 1)..];
        return ShippedLibrary.Find(name) is { } tree && below[..end] == Versions.GetOrAdd(name, _ => VersionOf(tree.Source.Content)) ? name : null;
    }

    private static string PathIn(string version, string name) => Path.Combine([Folder, version, .. name.Split('/')]);

    /// <summary>Writes a file beside its place, then renames it: it is there whole or not at all.</summary>
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
            File.Delete(beside); // gone already, unless something failed
        }
    }

    /// <summary>Equal contents have equal versions, on every machine (FNV-1a over the characters).</summary>
    private static string VersionOf(string content)
    {
        var hash = 14695981039346656037UL;
        foreach (var character in content) hash = (hash ^ character) * 1099511628211UL;
        return hash.ToString("x16", CultureInfo.InvariantCulture);
    }
}
