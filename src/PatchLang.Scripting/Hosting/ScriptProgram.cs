namespace PatchLang.Scripting.Hosting;

/// <summary>The program that runs scripts, <c>patchlang-scripts</c>, which is installed next to the program that uses it.</summary>
public sealed class ScriptProgram
{
    /// <summary>An environment variable with the path of the program, for those who build it themselves.</summary>
    public const string Variable = "PATCHLANG_SCRIPTS";

    private const string FileName = "patchlang-scripts.dll";

    private ScriptProgram(string path, string dotnet) => (Path, DotNet) = (path, dotnet);

    /// <summary>The path of the program.</summary>
    public string Path { get; }

    /// <summary>The path of the .NET runtime that runs it.</summary>
    public string DotNet { get; }

    /// <summary>Identifies the build of the program.</summary>
    internal string Version
    {
        get
        {
            var built = new FileInfo(System.IO.Path.Combine(System.IO.Path.GetDirectoryName(Path)!, "PatchLang.Scripting.dll"));
            return built.Exists ? $"{built.Length} {built.LastWriteTimeUtc.Ticks}" : "";
        }
    }

    /// <summary>Finds the program; null, with advice, if it is not installed.</summary>
    public static (ScriptProgram? Program, string? Problem) Find()
    {
        string[] places = Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } set
            ? [set]
            : [System.IO.Path.Combine(AppContext.BaseDirectory, "scripts", FileName), System.IO.Path.Combine(AppContext.BaseDirectory, FileName)];
        if (Array.Find(places, File.Exists) is not { } path)
            return (null, $"scripts are run by patchlang-scripts, which is not there ({places[0]}); the tool from the package has it, a lone program does not");
        if (FindDotNet() is not { } dotnet) return (null, "scripts need the .NET runtime, and there is no `dotnet` to be found");
        return (new ScriptProgram(path, dotnet), null);
    }

    private static string? FindDotNet()
    {
        var name = OperatingSystem.IsWindows() ? "dotnet.exe" : "dotnet";
        if (Environment.ProcessPath is { } self && System.IO.Path.GetFileName(self) == name) return self;
        if (Environment.GetEnvironmentVariable("DOTNET_ROOT") is { Length: > 0 } root && System.IO.Path.Combine(root, name) is var inRoot && File.Exists(inRoot)) return inRoot;
        foreach (var folder in (Environment.GetEnvironmentVariable("PATH") ?? "").Split(System.IO.Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries))
            if (System.IO.Path.Combine(folder, name) is var path && File.Exists(path)) return path;
        return null;
    }
}
