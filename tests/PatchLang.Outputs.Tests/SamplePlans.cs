using PatchLang.Text;

namespace PatchLang.Outputs.Tests;

/// <summary>The plans in <c>samples/</c>, found from where the tests run, and plans written in a test.</summary>
internal static class SamplePlans
{
    /// <summary>The repository's folder.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>Compiles a sample by the path of its root file below <c>samples/</c>.</summary>
    public static Compilation Compile(string path)
    {
        var full = Path.Combine(Root, "samples", path);
        var folder = Path.GetDirectoryName(full)!;
        return Compilation.Create(new SourceText(Path.GetFileName(full), File.ReadAllText(full)), used =>
            File.Exists(Path.Combine(folder, used)) ? FileReading.Of(new SourceText(used, File.ReadAllText(Path.Combine(folder, used)))) : FileReading.Failed(FileProblem.NotFound));
    }

    /// <summary>Compiles a text that uses nothing but the library.</summary>
    public static Compilation CompileText(string text) => Compilation.Create(new SourceText("plan.rig", text), _ => FileReading.Failed(FileProblem.NotFound));

    private static string FindRoot()
    {
        var here = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(here, "PatchLang.sln")))
            here = Path.GetDirectoryName(here) ?? throw new InvalidOperationException("The tests do not run from inside the repository.");
        return here;
    }
}
