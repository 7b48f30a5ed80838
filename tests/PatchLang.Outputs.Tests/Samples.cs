using PatchLang.Text;

namespace PatchLang.Outputs.Tests;

/// <summary>The repository's plans, and plans written in a test.</summary>
internal static class Samples
{
    /// <summary>The folder that holds the solution.</summary>
    public static string Root { get; } = FindRoot();

    public static Compilation Quay { get; } = Compile("lantern-quay/lantern-quay.rig");

    /// <summary>A sample compiled from its root file.</summary>
    public static Compilation Compile(string path)
    {
        var full = Path.Combine(Root, "samples", path);
        var folder = Path.GetDirectoryName(full)!;
        return Compilation.Create(new SourceText(Path.GetFileName(full), File.ReadAllText(full)), used =>
            File.Exists(Path.Combine(folder, used)) ? FileReading.Of(new SourceText(used, File.ReadAllText(Path.Combine(folder, used)))) : FileReading.Failed(FileProblem.NotFound));
    }

    /// <summary>A plan of one file.</summary>
    public static Compilation Of(string text) => Compilation.Create(new SourceText("quay.rig", text), _ => FileReading.Failed(FileProblem.NotFound));

    private static string FindRoot()
    {
        var here = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(here, "PatchLang.sln")))
            here = Path.GetDirectoryName(here) ?? throw new InvalidOperationException("The tests do not run from inside the repository.");
        return here;
    }
}
