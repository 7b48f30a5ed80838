using System.Runtime.CompilerServices;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>Tests keep what they accept and what they compile in a folder of their own, not in the developer's, and run scripts by the program where it was built.</summary>
internal static class UserFoldersOfTests
{
    [ModuleInitializer]
    internal static void Set()
    {
        // One folder for all runs: compiling a script anew takes most of a second.
        var folder = Path.Combine(Path.GetTempPath(), "patchlang-scripting-tests");
        Environment.SetEnvironmentVariable("XDG_CACHE_HOME", Path.Combine(folder, "cache"));
        Environment.SetEnvironmentVariable("XDG_CONFIG_HOME", Directory.CreateTempSubdirectory("patchlang-config-").FullName);
        Environment.SetEnvironmentVariable("PATCHLANG_SCRIPTS", BuiltProgram.Scripts);
    }
}
