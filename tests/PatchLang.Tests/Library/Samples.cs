using PatchLang.Text;

namespace PatchLang.Tests.Library;

/// <summary>The plans in <c>samples/</c>, found from where the tests run.</summary>
internal static class Samples
{
    private static readonly string folder = Path.Combine(Root(), "samples");

    /// <summary>Every file of every sample, as a path below <c>samples/</c> with forward slashes.</summary>
    public static IEnumerable<string> Files =>
        Directory.EnumerateFiles(folder, "*.rig", SearchOption.AllDirectories)
            .Select(f => Path.GetRelativePath(folder, f).Replace('\\', '/'))
            .Order(StringComparer.Ordinal);

    public static SourceText Read(string path) => new(path, File.ReadAllText(Path.Combine(folder, path)));

    private static string Root()
    {
        var here = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(here, "PatchLang.sln")))
            here = Path.GetDirectoryName(here) ?? throw new InvalidOperationException("The tests do not run from inside the repository.");
        return here;
    }
}
