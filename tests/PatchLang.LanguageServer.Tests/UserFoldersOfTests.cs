using System.Runtime.CompilerServices;

namespace PatchLang.LanguageServer.Tests;

/// <summary>The servers of these tests keep what they make in a folder of the tests, not in the developer's.</summary>
internal static class UserFoldersOfTests
{
    public static string Cache { get; } = Directory.CreateTempSubdirectory("patchlang-cache-").FullName;

    [ModuleInitializer]
    internal static void Set()
    {
        Environment.SetEnvironmentVariable("XDG_CACHE_HOME", Cache);
        AppDomain.CurrentDomain.ProcessExit += (_, _) => Directory.Delete(Cache, recursive: true);
    }
}
