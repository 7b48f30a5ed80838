namespace PatchLang;

/// <summary>The programs of this repository where they were built: there they are made ready with the packages that they bring along, and beside the tests they are not.</summary>
internal static class BuiltProgram
{
    /// <summary><c>patchlang</c>.</summary>
    public static string PatchLang { get; } = Find("PatchLang.Cli", "PatchLang.Cli.dll");

    /// <summary>The one that runs scripts.</summary>
    public static string Scripts { get; } = Find("PatchLang.Scripts", "patchlang-scripts.dll");

    private static string Find(string project, string file)
    {
        var output = new DirectoryInfo(AppContext.BaseDirectory);
        var root = output;
        while (!File.Exists(Path.Combine(root.FullName, "PatchLang.sln"))) root = root.Parent ?? throw new InvalidOperationException("The tests do not run from inside the repository.");
        return Path.Combine(root.FullName, "src", project, "bin", output.Parent!.Name, output.Name, file);
    }
}
