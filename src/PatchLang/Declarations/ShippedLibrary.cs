using System.Collections.Concurrent;
using System.Text;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The formats and gear that ship with the compiler, as embedded text. Each file is read once, when a plan first uses it.</summary>
public static class ShippedLibrary
{
    private static readonly ConcurrentDictionary<string, SyntaxTree?> Trees = new(StringComparer.Ordinal);

    /// <summary>The paths of all files, sorted.</summary>
    public static IEnumerable<string> Paths =>
        typeof(ShippedLibrary).Assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith("library/", StringComparison.Ordinal))
            .Select(n => n.Replace('\\', '/'))
            .Order(StringComparer.Ordinal);

    /// <summary>A file by its path, such as <c>library/desks.rig</c>; null if there is none.</summary>
    public static SyntaxTree? Find(string path) => Trees.GetOrAdd(path, Read);

    private static SyntaxTree? Read(string path)
    {
        using var stream = typeof(ShippedLibrary).Assembly.GetManifestResourceStream(path);
        if (stream is null) return null;
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return SyntaxTree.Parse(new SourceText(path, reader.ReadToEnd()));
    }
}
