using PatchLang.Files;
using PatchLang.Scripting.Model;
using PatchLang.Text;

namespace PatchLang.Scripting.Tests;

/// <summary>The plans in <c>samples/</c>, found from where the tests run, and plans written in a test.</summary>
internal static class SamplePlans
{
    /// <summary>The repository's folder.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>The harbour stage, which most tests read.</summary>
    public static Rig LanternQuay { get; } = Rig.Of(Compile("lantern-quay/lantern-quay.rig"));

    /// <summary>Compiles a sample by the path of its root file below <c>samples/</c>.</summary>
    public static Compilation Compile(string path)
    {
        var full = Path.Combine(Root, "samples", path);
        return Compilation.Create(new SourceText(Path.GetFileName(full), File.ReadAllText(full)), new Disk(Path.GetDirectoryName(full)!).Read);
    }

    /// <summary>The objects of a text that uses nothing but the library.</summary>
    public static Rig Of(string text) => Rig.Of(Compilation.Create(new SourceText("plan.rig", text), _ => FileReading.Failed(FileProblem.NotFound)));

    private static string FindRoot()
    {
        var here = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(here, "PatchLang.sln")))
            here = Path.GetDirectoryName(here) ?? throw new InvalidOperationException("The tests do not run from inside the repository.");
        return here;
    }
}
