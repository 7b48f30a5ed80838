using System.Text;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Tests.Library;

/// <summary>The library's files as they are embedded in the compiler, read by the parser alone.</summary>
internal static class ShippedLibrary
{
    private static readonly Lazy<Dictionary<string, SyntaxTree>> trees = new(() => Paths.ToDictionary(p => p, Read));

    /// <summary>The paths, as a plan writes them in its <c>use</c>.</summary>
    public static IEnumerable<string> Paths =>
        typeof(SyntaxTree).Assembly.GetManifestResourceNames().Where(n => n.StartsWith("library/", StringComparison.Ordinal)).Order(StringComparer.Ordinal);

    public static SyntaxTree Tree(string path) => trees.Value[path];

    /// <summary>Every declaration of one sort, in all files.</summary>
    public static IEnumerable<(string Path, SyntaxTree Tree, int Index)> All(NodeKind kind)
    {
        foreach (var path in Paths)
        {
            var tree = Tree(path);
            for (var i = 0; i < tree.Count; i++)
                if (tree[i].Kind == kind) yield return (path, tree, i);
        }
    }

    private static SyntaxTree Read(string path)
    {
        using var stream = typeof(SyntaxTree).Assembly.GetManifestResourceStream(path)!;
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return SyntaxTree.Parse(new SourceText(path, reader.ReadToEnd()));
    }
}
