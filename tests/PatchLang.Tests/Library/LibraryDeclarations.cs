using PatchLang.Declarations;
using PatchLang.Syntax;

namespace PatchLang.Tests.Library;

/// <summary>What the library's files declare, read by the parser alone.</summary>
internal static class LibraryDeclarations
{
    /// <summary>A file by its path, as a plan writes it in its <c>use</c>.</summary>
    public static SyntaxTree Tree(string path) => ShippedLibrary.Find(path) ?? throw new ArgumentException($"The library has no {path}.", nameof(path));

    /// <summary>Every declaration of one sort, in all files.</summary>
    public static IEnumerable<(string Path, SyntaxTree Tree, int Index)> All(NodeKind kind)
    {
        foreach (var path in ShippedLibrary.Paths)
        {
            var tree = Tree(path);
            for (var i = 0; i < tree.Count; i++)
                if (tree[i].Kind == kind) yield return (path, tree, i);
        }
    }

    /// <summary>Every format, as the compiler reads it.</summary>
    public static IEnumerable<FormatSymbol> Formats =>
        All(NodeKind.Format).Select(d => FormatReader.Read(new PlanFile(d.Path), d.Tree[d.Index], new DraftBag())!);

    /// <summary>A format by its name.</summary>
    public static FormatSymbol Format(string name) => Formats.Single(f => f.Name == name);
}
