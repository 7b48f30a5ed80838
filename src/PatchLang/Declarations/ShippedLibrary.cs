using System.Collections.Concurrent;
using System.Text;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The formats and gear that ship with the compiler, as embedded text. Each file is parsed once, when a plan first uses it.</summary>
public static class ShippedLibrary
{
    private static readonly ConcurrentDictionary<string, SyntaxTree?> Trees = new(StringComparer.Ordinal);

    private static readonly ConcurrentDictionary<string, List<string>> Reached = new(StringComparer.Ordinal);

    private static readonly Lazy<Dictionary<string, string>> Declarations = new(Declared);

    /// <summary>The paths of all files, sorted.</summary>
    public static IEnumerable<string> Paths =>
        typeof(ShippedLibrary).Assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith("library/", StringComparison.Ordinal))
            .Select(n => n.Replace('\\', '/'))
            .Order(StringComparer.Ordinal);

    /// <summary>A file by path, such as <c>library/desks.rig</c>; null if there is none.</summary>
    public static SyntaxTree? Find(string path) => Trees.GetOrAdd(path, Read);

    /// <summary>The file that declares gear, a card or a format; null if none in the library does.</summary>
    public static string? FileWith(string sort, string name) => Declarations.Value.GetValueOrDefault($"{sort} {name}");

    /// <summary>Whether a library file is the other one, or includes it.</summary>
    public static bool TakesIn(string path, string other) => Reached.GetOrAdd(path, ReachedFrom).Contains(other);

    private static List<string> ReachedFrom(string path)
    {
        var reached = new List<string> { path };
        for (var i = 0; i < reached.Count; i++)
            foreach (var line in (TextOf(reached[i]) ?? "").AsSpan().EnumerateLines())
                if (line.StartsWith("use \"") && line[5..] is var behind && behind.IndexOf('"') is > 0 and var end
                    && $"library/{behind[..end]}" is var used && !reached.Contains(used)) reached.Add(used);
        return reached;
    }

    private static SyntaxTree? Read(string path) => TextOf(path) is { } text ? SyntaxTree.Parse(new SourceText(path, text)) : null;

    private static string? TextOf(string path)
    {
        using var stream = typeof(ShippedLibrary).Assembly.GetManifestResourceStream(path);
        if (stream is null) return null;
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }

    /// <summary>Found by scanning lines, which works since the files are tidy: parsing all of them takes memory that most plans never need.</summary>
    private static Dictionary<string, string> Declared()
    {
        var declared = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var path in Paths)
            foreach (var line in TextOf(path)!.AsSpan().EnumerateLines())
                if (line.StartsWith("gear ") || line.StartsWith("card ") || line.StartsWith("format "))
                {
                    var behind = line[(line.IndexOf(' ') + 1)..].TrimStart();
                    var end = behind.IndexOfAny(" ({\"");
                    declared.TryAdd($"{line[..line.IndexOf(' ')]} {(end < 0 ? behind : behind[..end])}", path);
                }
        return declared;
    }
}
