using PatchLang.Text;

namespace PatchLang.Tests.Library;

/// <summary>The plans in <c>samples/</c>, found from where the tests run.</summary>
internal static class Samples
{
    private static readonly string folder = Path.Combine(Root, "samples");

    /// <summary>The folder of the repository.</summary>
    public static string Root => FindRoot();

    /// <summary>Every file of every sample, as a path below <c>samples/</c> with forward slashes.</summary>
    public static IEnumerable<string> Files =>
        Directory.EnumerateFiles(folder, "*.rig", SearchOption.AllDirectories)
            .Select(f => Path.GetRelativePath(folder, f).Replace('\\', '/'))
            .Order(StringComparer.Ordinal);

    public static SourceText Read(string path) => new(path, File.ReadAllText(Path.Combine(folder, path)));

    /// <summary>A sample compiled from its root file, perhaps with another text in that file.</summary>
    public static Compilation Compile(string path, Func<string, string>? change = null)
    {
        var below = Path.GetDirectoryName(Path.Combine(folder, path))!;
        var text = Read(path).Content;
        return Compilation.Create(new SourceText(Path.GetFileName(path), change?.Invoke(text) ?? text), used =>
            File.Exists(Path.Combine(below, used)) ? FileReading.Of(new SourceText(used, File.ReadAllText(Path.Combine(below, used)))) : FileReading.Failed(FileProblem.NotFound));
    }

    /// <summary>A sample with a piece of one of its files written differently.</summary>
    public static Compilation Broken(string path, string file, string sound, string broken)
    {
        var below = Path.GetDirectoryName(Path.Combine(folder, path))!;
        return Compilation.Create(Text(Path.GetFileName(path)), used => File.Exists(Path.Combine(below, used)) ? FileReading.Of(Text(used)) : FileReading.Failed(FileProblem.NotFound));

        SourceText Text(string name)
        {
            var text = File.ReadAllText(Path.Combine(below, name));
            if (name != file) return new SourceText(name, text);
            if (!text.Contains(sound, StringComparison.Ordinal)) throw new InvalidOperationException($"{file} has no `{sound}`.");
            return new SourceText(name, text.Replace(sound, broken, StringComparison.Ordinal));
        }
    }

    private static string FindRoot()
    {
        var here = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(here, "PatchLang.sln")))
            here = Path.GetDirectoryName(here) ?? throw new InvalidOperationException("The tests do not run from inside the repository.");
        return here;
    }
}
