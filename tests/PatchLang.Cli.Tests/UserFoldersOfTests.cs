using System.Runtime.CompilerServices;

namespace PatchLang.Cli.Tests;

/// <summary>Tests keep what they accept and what they compile in folders of their own, not in the developer's, and run scripts by the program that was built with them.</summary>
internal static class UserFoldersOfTests
{
    [ModuleInitializer]
    internal static void Set()
    {
        // One cache for all runs: compiling a script anew takes most of a second.
        Environment.SetEnvironmentVariable("XDG_CACHE_HOME", Path.Combine(Path.GetTempPath(), "patchlang-scripting-tests", "cache"));
        Environment.SetEnvironmentVariable("XDG_CONFIG_HOME", Directory.CreateTempSubdirectory("patchlang-config-").FullName);

        // The program that runs scripts lies beside `patchlang`, and these tests have one built for themselves.
        Environment.SetEnvironmentVariable("PATCHLANG_SCRIPTS", BuiltProgram.Scripts);
    }
}
